#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void judge(Moment& now, const Check& self) {
    // A reading that is taken on the way, before the adjustment, proves nothing and is harmless.
    const Way proves = now.when(now.at, [](const Standing& s) { return s.on != 0; });
    for (const linked::ItemId adjuster : now.it().is.disturbed_by) {
        if (!adjuster.known() || !now.of(adjuster).present) continue;
        const linked::Sort sort = now.of(adjuster).is.sort;
        if (sort == linked::Sort::adjustment || sort == linked::Sort::circuit || sort == linked::Sort::setting)
            continue;
        for (const fitted::InstanceId at : now.beside(adjuster)) {
            const auto bad = now.some(
                at, [](const Standing& s) { return s.away() && s.place_known(); }, proves);
            if (!bad) continue;
            Finding& finding =
                now.report(self,
                           fmt::format("{{item}} is proved{{sides}} while the {} is {}", now.name(adjuster),
                                       now.place_name(adjuster, bad->standing.place)),
                           bad);
            now.blame(finding, at, bad->standing);
            finding.help = "tighten it first: tightening can shift the adjustment";
            break;
        }
    }
}

} // namespace

extern const Check proved_loose{
    {"proved-loose", messages::Level::error, "an adjustment is proved while a fastener that disturbs it is not tight"},
    When::demand,
    model::Demand::adjusters_tight,
    judge};

} // namespace benchleaf::proof::checks
