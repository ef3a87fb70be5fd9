#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void judge(Moment& now, const Check& self) {
    const std::vector<linked::ItemId>& others = now.it().is.held_by;
    for (const linked::ItemId other : others) {
        if (!other.known() || !now.of(other).present) continue;
        const auto off = static_cast<linked::Place>(now.of(other).is.places.size() - 1);
        for (const fitted::InstanceId at : now.beside(other)) {
            const auto bad = now.some(at, [&]([[maybe_unused]] const Standing& s) { return !s.in(off); });
            if (!bad) continue;
            Finding& finding = now.report(
                self, fmt::format("{{item}} is removed{{sides}} while the {} still holds it", now.name(other)), bad);
            now.blame(finding, at, bad->standing);
            now.remedies->before(now, finding, other, bad->standing.place, off);
            break;
        }
    }
}

} // namespace

extern const Check still_held{
    {"still-held", messages::Level::error, "a part comes off while a fastener still holds it"},
    When::demand,
    model::Demand::holders_off,
    judge};

} // namespace benchleaf::proof::checks
