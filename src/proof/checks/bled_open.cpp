#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_bled_open(Moment& now, const Check& self) {
    const linked::ItemId circuit = now.it().is.vents;
    if (!circuit.known()) return;
    for (const linked::ItemId part : now.of(circuit).is.moves) {
        if (!part.known() || !now.of(part).present) continue;
        bool told = false;
        for (const fitted::InstanceId at : now.on_circuit(circuit, part)) {
            const auto bad = now.some(at, [](const Standing& s) { return s.away() && s.place_known(); });
            if (!bad) continue;
            Finding& finding =
                now.report(self,
                           fmt::format("the {} is bled while the {} that it moves is {}", now.name(circuit),
                                       now.name(part), now.place_name(part, bad->standing.place)),
                           bad);
            now.blame(finding, at, bad->standing);
            finding.help = fmt::format("put the {} on first: pumping can push its piston out", now.name(part));
            told = true;
            break;
        }
        if (told) continue; // that its holders are out goes without saying
        for (const linked::ItemId holder : now.of(part).is.held_by) {
            if (!holder.known() || !now.of(holder).present) continue;
            const auto off = static_cast<linked::Place>(now.of(holder).is.places.size() - 1);
            for (const fitted::InstanceId at : now.on_circuit(circuit, holder)) {
                const auto bad = now.some(at, [&](const Standing& s) { return s.place_known() && s.place == off; });
                if (!bad) continue;
                Finding& finding = now.report(self,
                                              fmt::format("the {} is bled while the {} that holds the {} is off",
                                                          now.name(circuit), now.name(holder), now.name(part)),
                                              bad);
                now.blame(finding, at, bad->standing);
                now.remedies->before(now, finding, holder, bad->standing.place, 0);
                break;
            }
        }
    }
}

} // namespace

extern const Check bled_open{
    {"bled-open", messages::Level::error, "a circuit is bled while something that it moves is not on and held"},
    When::demand,
    model::Demand::moved_held,
    find_bled_open};

} // namespace benchleaf::proof::checks
