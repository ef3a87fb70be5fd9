#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void judge(Moment& now, const Check& self) {
    for (const linked::ItemId behind : now.it().is.covers) {
        if (!behind.known() || !now.of(behind).present) continue;
        if (now.of(behind).is.rests_anywhere) continue;
        for (const fitted::InstanceId at : now.beside(behind)) {
            const auto bad =
                now.some(at, [](const Standing& s) { return s.place_known() && (s.place != 0 || s.debts() != 0); });
            if (!bad) continue;
            const bool misplaced = bad->standing.place != 0;
            const std::string_view where = now.of(behind).is.inside == now.item ? "inside" : "behind";
            Finding& finding =
                now.report(self,
                           misplaced ? fmt::format("{{item}} goes on{{sides}} while the {} {} it is {}",
                                                   now.name(behind), where, now.place_name(behind, bad->standing.place))
                                     : fmt::format("{{item}} goes on{{sides}} while the {} {} it still owes {}",
                                                   now.name(behind), where, debts_of(bad->standing.debts())),
                           bad);
            if (misplaced)
                now.blame(finding, at, bad->standing);
            else
                now.blame_debt(finding, at, bad->standing, bad->standing.debts());
            finding.help =
                fmt::format("finish the {} first: it cannot be reached any more after this", now.name(behind));
            break;
        }
    }
}

} // namespace

extern const Check shut_in{
    {"shut-in", messages::Level::error, "a part goes on while something behind or inside it is not finished"},
    When::demand,
    model::Demand::nothing_shut_in,
    judge};

} // namespace benchleaf::proof::checks
