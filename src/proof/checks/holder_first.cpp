#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void judge_from(Moment& now, const Check& self, linked::Place from, const std::vector<linked::ItemId>& holders) {
    const Way on = now.when(now.at, [&](const Standing& s) { return s.place_known() && s.place == from; });
    if (on == Ways::ended) return;
    for (const linked::ItemId holder : holders) {
        if (!holder.known() || !now.of(holder).present) continue;
        const linked::Item& holds = now.of(holder).is;
        const linked::Place free = holds.lets_go_at();
        for (const fitted::InstanceId at : now.beside(holder)) {
            const auto bad = now.some(
                at, [&](const Standing& s) { return s.place_known() && s.place < free; }, on);
            if (!bad) continue;
            Finding& finding =
                now.report(self,
                           fmt::format("{{item}} goes on{{sides}} while the {} that {} it is already {}",
                                       now.name(holder), holds.pinches() ? "pinches" : "holds",
                                       holds.pinches() ? now.place_name(holder, bad->standing.place) : "in"),
                           bad);
            now.blame(finding, at, bad->standing);
            if (holds.pinches()) {
                if (now.remedies->swap_with(now, finding, holder, bad->standing.placed)) break;
                now.remedies->before(now, finding, holder, bad->standing.place, free);
                break;
            }
            finding.help =
                fmt::format("take the {} out first, or say in `starts-with` that it is off", now.name(holder));
            break;
        }
    }
}

// The holders that are in the way of a part that goes on: all of them from off; from a place of its own, those that the place listed.
void find_holder_first(Moment& now, const Check& self) {
    const linked::Item& part = now.it().is;
    const auto last = static_cast<linked::Place>(part.places.size() - 1);
    for (linked::Place from = 1; from <= last; ++from)
        judge_from(now, self, from, from == last ? part.held_by : part.places[from].frees);
}

} // namespace

extern const Check holder_first{
    {"holder-first", messages::Level::error, "a part goes on while the fastener that holds it is already in"},
    When::demand,
    model::Demand::holders_clear,
    find_holder_first};

} // namespace benchleaf::proof::checks
