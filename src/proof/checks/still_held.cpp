#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_still_held(Moment& now, const Check& self) {
    const std::vector<linked::ItemId>& others = now.it().is.held_by;
    for (const linked::ItemId other : others) {
        if (!other.known() || !now.of(other).present) continue;
        const linked::Place free = now.of(other).is.lets_go_at();
        for (const fitted::InstanceId at : now.beside(other)) {
            const auto bad = now.some(at, [&](const Standing& s) { return s.place_known() && s.place < free; });
            if (!bad) continue;
            Finding& finding = now.report(
                self, fmt::format("{{item}} is removed{{sides}} while the {} still holds it", now.name(other)), bad);
            now.blame(finding, at, bad->standing);
            now.remedies->before(now, finding, other, bad->standing.place, free);
            break;
        }
    }
}

} // namespace

extern const Check still_held{
    {"still-held", messages::Level::error, "a part comes off while a fastener still holds it"},
    When::demand,
    model::Demand::holders_off,
    find_still_held};

} // namespace benchleaf::proof::checks
