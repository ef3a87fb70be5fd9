#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void judge(Moment& now, const Check& self) {
    const std::vector<linked::ItemId> others = {now.it().is.locks};
    for (const linked::ItemId other : others) {
        if (!other.known() || !now.of(other).present) continue;
        const auto off = static_cast<linked::Place>(now.of(other).is.places.size() - 1);
        for (const fitted::InstanceId at : now.beside(other)) {
            const auto bad = now.some(at, [&]([[maybe_unused]] const Standing& s) {
                return (static_cast<void>(off), s.away() && s.place_known());
            });
            if (!bad) continue;
            Finding& finding = now.report(
                self,
                fmt::format("{{item}} is fitted{{sides}} while the {} that it locks is not tight", now.name(other)),
                bad);
            now.blame(finding, at, bad->standing);
            finding.help = fmt::format("torque the {} first", now.name(other));
            break;
        }
    }
}

} // namespace

extern const Check locked_loose{
    {"locked-loose", messages::Level::error, "a lock goes in while what it locks is not tight"},
    When::demand,
    model::Demand::locks_tight,
    judge};

} // namespace benchleaf::proof::checks
