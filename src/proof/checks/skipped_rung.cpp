#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_skipped_rung(Moment& now, const Check& self) {
    const auto bad = now.some(now.at, [&](const Standing& s) {
        if (!s.place_known()) return false;
        const int step = int{s.place} - int{now.place};
        return step != 1 && step != -1;
    });
    if (!bad) return;
    const std::string from = now.place_name(now.item, bad->standing.place);
    const std::string to = now.place_name(now.item, now.place);
    Finding& finding =
        now.report(self,
                   from == to ? fmt::format("{{item}} is {} already{{sides}}", to)
                              : fmt::format("{{item}} goes from {} to {} and skips a rung{{sides}}", from, to),
                   bad);
    now.blame(finding, now.at, bad->standing);
    if (from == to) {
        now.remedies->set_already(now, finding, bad->standing);
    } else {
        const int next = bad->standing.place < now.place ? bad->standing.place + 1 : bad->standing.place - 1;
        now.remedies->before(now, finding, now.item, bad->standing.place, static_cast<linked::Place>(next));
    }
}

} // namespace

extern const Check skipped_rung{
    {"skipped-rung", messages::Level::error, "a setting goes more than one rung of its ladder at once, or none"},
    When::demand,
    model::Demand::one_rung,
    find_skipped_rung};

} // namespace benchleaf::proof::checks
