#include "proof/check.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

bool lists(const std::vector<linked::ItemId>& items, linked::ItemId item) {
    return std::find(items.begin(), items.end(), item) != items.end();
}

// A part that is moved keeps the holders that its new place does not ask to be off.
void judge_part(Moment& now, const Check& self) {
    const linked::Item& part = now.it().is;
    for (const linked::ItemId holder : part.held_by) {
        if (!holder.known() || !now.of(holder).present || lists(part.places[now.place].frees, holder)) continue;
        const auto off = static_cast<linked::Place>(now.of(holder).is.places.size() - 1);
        for (const fitted::InstanceId at : now.beside(holder)) {
            const auto bad = now.some(at, [&](const Standing& s) { return s.place_known() && s.place == off; });
            if (!bad) continue;
            Finding& finding = now.report(self,
                                          fmt::format("{{item}} is {} with nothing to hold it{{sides}}: the {} is off",
                                                      now.place_name(now.item, now.place), now.name(holder)),
                                          bad);
            now.blame(finding, at, bad->standing);
            finding.help = fmt::format("leave the {} in, or remove the part and put it down", now.name(holder));
            break;
        }
    }
}

// A fastener that comes out is not the last hold of a part that was moved.
void judge_fastener(Moment& now, const Check& self) {
    for (const linked::ItemId part : now.it().is.holds) {
        if (!part.known() || !now.of(part).present) continue;
        const std::vector<linked::PlaceName>& places = now.of(part).is.places;
        for (const fitted::InstanceId at : now.beside(part)) {
            const auto bad = now.some(at, [&](const Standing& s) {
                const bool own = s.place_known() && s.place != 0 && std::size_t{s.place} + 1 < places.size();
                return own && !lists(places[s.place].frees, now.item);
            });
            if (!bad) continue;
            Finding& finding = now.report(
                self, fmt::format("the {} hangs by its hose once {{item}} is out{{sides}}", now.name(part)), bad);
            now.blame(finding, at, bad->standing);
            finding.help = fmt::format("remove the {} before this, or keep this fastener in", now.name(part));
            break;
        }
    }
}

void find_hangs_on_hose(Moment& now, const Check& self) {
    if (now.it().is.sort == linked::Sort::part)
        judge_part(now, self);
    else
        judge_fastener(now, self);
}

} // namespace

extern const Check hangs_on_hose{{"hangs-on-hose", messages::Level::error, "a part that was moved is held by nothing"},
                                 When::demand,
                                 model::Demand::still_held,
                                 find_hangs_on_hose};

} // namespace benchleaf::proof::checks
