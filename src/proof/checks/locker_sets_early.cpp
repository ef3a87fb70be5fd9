#include "proof/check.h"

namespace benchleaf::proof::checks {

namespace {

void find_locker_sets_early(Moment& now, const Check& self) {
    const auto bad = now.some(
        now.at, [](const Standing& s) { return (s.place == 1 || s.place == 2) && !s.owes(model::Debt::locker); });
    if (!bad) return;
    Finding& finding = now.report(self, "the thread-locker on {item} sets{sides} before it is tightened", bad);
    now.blame(finding, now.at, bad->standing);
    finding.help = "torque it before this `wait`: turned once it has set, thread-locker holds no more";
}

} // namespace

extern const Check locker_sets_early{
    {"locker-sets-early", messages::Level::error, "thread-locker sets before the fastener is tightened"},
    When::machine,
    std::nullopt,
    find_locker_sets_early};

} // namespace benchleaf::proof::checks
