#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void judge(Moment& now, const Check& self) {
    const std::vector<linked::ItemId>& others = now.it().is.renew_together;
    for (const linked::ItemId other : others) {
        if (!other.known() || !now.of(other).present) continue;
        const auto off = static_cast<linked::Place>(now.of(other).is.places.size() - 1);
        for (const fitted::InstanceId at : now.every(other)) {
            const auto bad = now.some(at, [&]([[maybe_unused]] const Standing& s) { return !s.in(off); });
            if (!bad) continue;
            Finding& finding =
                now.report(self,
                           fmt::format("{{item}} is renewed{{sides}} while the {} that is renewed with it is still on",
                                       now.name(other)),
                           bad);
            now.blame(finding, at, bad->standing);
            finding.help =
                fmt::format("remove the {} first: they are renewed together, on every side", now.name(other));
            break;
        }
    }
}

} // namespace

extern const Check renewed_apart{{"renewed-apart", messages::Level::error,
                                  "something is renewed while what is renewed together with it is still on"},
                                 When::demand,
                                 model::Demand::together_off,
                                 judge};

} // namespace benchleaf::proof::checks
