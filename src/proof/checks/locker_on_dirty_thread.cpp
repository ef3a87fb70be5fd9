#include "proof/check.h"
#include "proof/remedy.h"

namespace benchleaf::proof::checks {

namespace {

void find_locker_on_dirty_thread(Moment& now, const Check& self) {
    if (now.consumable != now.it().is.threadlock || !now.consumable.known()) return;
    const auto bad =
        now.some(now.at, [](const Standing& s) { return (s.bits & model::bit(model::Debt::degrease)) != 0; });
    if (!bad) return;
    Finding& finding = now.report(self, "thread-locker goes on {item}{sides} before its thread was cleaned", bad);
    now.blame_debt(finding, now.at, bad->standing, model::bit(model::Debt::degrease));
    now.remedies->clean_before(now, finding);
}

} // namespace

extern const Check locker_on_dirty_thread{
    {"locker-on-dirty-thread", messages::Level::error, "thread-locker goes on a thread that was not cleaned"},
    When::demand,
    model::Demand::degreased,
    find_locker_on_dirty_thread};

} // namespace benchleaf::proof::checks
