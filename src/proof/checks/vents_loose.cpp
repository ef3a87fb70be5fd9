#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_vents_loose(Moment& now, const Check& self) {
    const linked::ItemId circuit = now.it().is.sort == linked::Sort::circuit ? now.item : now.it().is.vents;
    if (!circuit.known()) return;
    for (const linked::ItemId vent : now.of(circuit).is.vented_by) {
        if (!vent.known() || !now.of(vent).present || vent == now.item) continue;
        if (now.of(vent).is.opens == circuit) continue; // told as one that opens it
        for (const fitted::InstanceId at : now.on_circuit(circuit, vent)) {
            const auto bad = now.some(at, [](const Standing& s) { return s.away() && s.place_known(); });
            if (!bad) continue;
            Finding& finding = now.report(self,
                                          fmt::format("the {} is {} while the {} is {}", now.name(circuit), now.done(),
                                                      now.name(vent), now.place_name(vent, bad->standing.place)),
                                          bad);
            now.blame(finding, at, bad->standing);
            if (!bad->answers.empty() || !now.remedies->tighten_behind_bleeding(now, finding, vent, bad->standing))
                now.remedies->before(now, finding, vent, bad->standing.place, 0);
            break;
        }
    }
}

} // namespace

extern const Check vents_loose{
    {"vents-loose", messages::Level::error, "a circuit is proved while one of its vents is not tight"},
    When::demand,
    model::Demand::vents_tight,
    find_vents_loose};

} // namespace benchleaf::proof::checks
