#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void judge(Moment& now, const Check& self) {
    std::vector<linked::Need> wanted;
    for (const linked::While& condition : now.it().is.whiles)
        if (condition.verb == now.row->verb)
            wanted.insert(wanted.end(), condition.needs.begin(), condition.needs.end());
    for (const linked::Need& need : wanted) {
        if (!need.item.known() || !now.of(need.item).present) continue;
        for (const fitted::InstanceId at : now.beside(need.item)) {
            if (const auto anyhow = now.some(at, [](const Standing& s) { return s.is_anywhere(); })) {
                Finding& finding = now.report(
                    self,
                    fmt::format("{{item}} is {}{{sides}} while nobody says how the {} stands; it has to be {}",
                                now.done(), now.name(need.item), now.place_name(need.item, need.place)),
                    anyhow);
                finding.more.push_back({need.span, "asked for here"});
                now.blame_anywhere(finding, at, *anyhow, need.place);
                break;
            }
            const auto bad = now.some(at, [&](const Standing& s) { return !s.in(need.place); });
            if (!bad) continue;
            Finding& finding =
                now.report(self,
                           fmt::format("{{item}} is {}{{sides}} while the {} is {}; it has to be {}", now.done(),
                                       now.name(need.item), now.place_name(need.item, bad->standing.place),
                                       now.place_name(need.item, need.place)),
                           bad);
            finding.more.push_back({need.span, "asked for here"});
            now.blame(finding, at, bad->standing);
            finding.help = steps_before(now, need.item, bad->standing.place, need.place);
            break;
        }
    }
}

} // namespace

extern const Check outside_while{
    {"outside-while", messages::Level::error, "a verb is done outside the conditions that the item sets for it"},
    When::demand,
    model::Demand::whiles,
    judge};

} // namespace benchleaf::proof::checks
