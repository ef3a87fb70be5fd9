#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// The holders that are in the way of a part that goes on: all of them from off; from a place of its own, those that the place listed.
void judge(Moment& now, const Check& self) {
    const linked::Item& part = now.it().is;
    const auto last = static_cast<linked::Place>(part.places.size() - 1);
    const auto here = now.some(now.at, [](const Standing& s) { return s.place_known() && s.place != 0; });
    if (!here) return;
    const linked::Place from = here->standing.place;
    const std::vector<linked::ItemId>& holders = from == last ? part.held_by : part.places[from].frees;
    for (const linked::ItemId holder : holders) {
        if (!holder.known() || !now.of(holder).present) continue;
        const auto off = static_cast<linked::Place>(now.of(holder).is.places.size() - 1);
        for (const fitted::InstanceId at : now.beside(holder)) {
            const auto bad = now.some(at, [&](const Standing& s) { return !s.in(off); });
            if (!bad) continue;
            Finding& finding = now.report(
                self,
                fmt::format("{{item}} goes on{{sides}} while the {} that holds it is already in", now.name(holder)),
                bad);
            now.blame(finding, at, bad->standing);
            finding.help =
                fmt::format("take the {} out first, or say in `starts-with` that it is off", now.name(holder));
            break;
        }
    }
}

} // namespace

extern const Check holder_first{
    {"holder-first", messages::Level::error, "a part goes on while the fastener that holds it is already in"},
    When::demand,
    model::Demand::holders_clear,
    judge};

} // namespace benchleaf::proof::checks
