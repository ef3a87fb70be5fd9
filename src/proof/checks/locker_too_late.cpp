#include "proof/check.h"

namespace benchleaf::proof::checks {

namespace {

// One that is tight and owes none is let be: its locker was put on before, or was told to be missing, or it is one that creeps in from outside.
void find_locker_too_late(Moment& now, const Check& self) {
    if (now.consumable != now.it().is.threadlock || !now.consumable.known()) return;
    const auto off = static_cast<linked::Place>(now.it().is.places.size() - 1);
    const auto bad = now.some(now.at, [off](const Standing& s) { return s.owes(model::Debt::locker) && !s.in(off); });
    if (!bad) return;
    Finding& finding =
        now.report(self, "thread-locker goes on {item}{sides} while it is in, where it does not reach the thread", bad);
    finding.more.push_back(now.cause(now.at, bad->standing));
    finding.help = "put it on while the fastener is out, before the step that fits it";
}

} // namespace

extern const Check locker_too_late{
    {"locker-too-late", messages::Level::error, "thread-locker goes on a fastener that is in"},
    When::demand,
    model::Demand::thread_bare,
    find_locker_too_late};

} // namespace benchleaf::proof::checks
