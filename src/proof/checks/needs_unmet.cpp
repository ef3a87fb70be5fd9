#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void judge(Moment& now, const Check& self) {
    const std::vector<linked::Need>& wanted = now.it().is.needs;
    for (const linked::Need& need : wanted) {
        if (!need.item.known() || !now.of(need.item).present) continue;
        for (const fitted::InstanceId at : now.beside(need.item)) {
            if (const auto anyhow = now.some(at, [](const Standing& s) { return s.is_anywhere(); })) {
                Finding& finding =
                    now.report(self,
                               fmt::format("{{item}} is {} while nobody says how the {} stands; it needs it {}",
                                           now.done(), now.name(need.item), now.place_name(need.item, need.place)),
                               anyhow);
                finding.more.push_back({need.span, "needed here"});
                now.blame_anywhere(finding, at, *anyhow, need.place);
                break;
            }
            const auto bad = now.some(at, [&](const Standing& s) { return !s.in(need.place); });
            if (!bad) continue;
            Finding& finding = now.report(
                self,
                fmt::format("{{item}} is {} while the {} is {}; it needs it {}", now.done(), now.name(need.item),
                            now.place_name(need.item, bad->standing.place), now.place_name(need.item, need.place)),
                bad);
            finding.more.push_back({need.span, "needed here"});
            now.blame(finding, at, bad->standing);
            finding.help = steps_before(now, need.item, bad->standing.place, need.place);
            break;
        }
    }
}

} // namespace

extern const Check needs_unmet{
    {"needs-unmet", messages::Level::error, "something is worked on while what it needs is not so"},
    When::demand,
    model::Demand::needs,
    judge};

} // namespace benchleaf::proof::checks
