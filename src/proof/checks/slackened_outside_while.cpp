#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// A fastener that comes out from tight is slackened on the way, so what it says of slacken holds, too.
void judge(Moment& now, const Check& self) {
    const Way tight = now.when(now.at, [](const Standing& s) { return s.place <= 1; });
    std::vector<linked::Need> wanted;
    for (const linked::While& condition : now.it().is.whiles)
        if (condition.verb == model::VerbName::slacken)
            wanted.insert(wanted.end(), condition.needs.begin(), condition.needs.end());
    for (const linked::Need& need : wanted) {
        if (!need.item.known() || !now.of(need.item).present) continue;
        for (const fitted::InstanceId at : now.beside(need.item)) {
            const auto bad = now.some(
                at, [&](const Standing& s) { return !s.in(need.place); }, tight);
            if (!bad) continue;
            Finding& finding = now.report(
                self,
                fmt::format("{{item}} is removed from tight{{sides}} while the {} is {}; it is slackened with it {}",
                            now.name(need.item), now.place_name(need.item, bad->standing.place),
                            now.place_name(need.item, need.place)),
                bad);
            finding.more.push_back({need.span, "asked for here"});
            now.blame(finding, at, bad->standing);
            finding.help = "slacken it first, in a step of its own";
            break;
        }
    }
}

} // namespace

extern const Check slackened_outside_while{{"slackened-outside-while", messages::Level::error,
                                            "a fastener is removed from tight where it may not be slackened"},
                                           When::demand,
                                           model::Demand::slacken_whiles,
                                           judge};

} // namespace benchleaf::proof::checks
