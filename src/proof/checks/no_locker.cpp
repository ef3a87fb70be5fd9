#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_no_locker(Moment& now, const Check& self) {
    const auto bad =
        now.some(now.at, [](const Standing& s) { return (s.bits & model::bit(model::Debt::locker)) != 0; });
    if (!bad) return;
    Finding& finding = now.report(self, "{item} is tightened{sides} without its thread-locker", bad);
    now.blame_debt(finding, now.at, bad->standing, model::bit(model::Debt::locker) | model::bit(model::Debt::degrease));
    const linked::Item& item = now.it().is;
    // Only a contract can say that one owes it which has none.
    if (!item.threadlock.known())
        finding.help = "say in its catalogue which one: `threadlock: …`; or that it owes none";
    else
        now.remedies->lock_before_fit(now, finding);
}

} // namespace

extern const Check no_locker{{"no-locker", messages::Level::error, "a fastener is tightened without its thread-locker"},
                             When::demand,
                             model::Demand::locker_applied,
                             find_no_locker};

} // namespace benchleaf::proof::checks
