#include "proof/check.h"

namespace benchleaf::proof::checks {

namespace {

void find_recheck_after_set(Moment& now, const Check& self) {
    const auto bad =
        now.some(now.at, [](const Standing& s) { return (s.bits & model::bit(model::Debt::locker_set)) != 0; });
    if (!bad) return;
    Finding& finding = now.report(self, "{item} is rechecked{sides} after its thread-locker has set", bad);
    finding.more.push_back(now.cause(now.at, bad->standing));
    finding.help = "turning it breaks the locker: renew the locker, or do not recheck it";
}

} // namespace

extern const Check recheck_after_set{
    {"recheck-after-set", messages::Level::error, "a fastener is rechecked after its thread-locker has set"},
    When::demand,
    model::Demand::locker_wet,
    find_recheck_after_set};

} // namespace benchleaf::proof::checks
