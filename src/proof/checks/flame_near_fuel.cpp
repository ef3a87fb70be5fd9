#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// Fuel burns whether or not a catalogue says which consumable it is; while its line is open, it runs.
void find_flame_near_fuel(Moment& now, const Check& self) {
    const auto flames = now.tools([](const model::Tool& tool) { return tool.flame && tool.flame->value; });
    if (flames.empty()) return;
    for (std::size_t i = 0; i < now.fit.items.size(); ++i) {
        const fitted::Item& circuit = now.fit.items.unnoted(i);
        const auto& sort = circuit.is.circuit_of.sort;
        if (!circuit.present || !sort || sort->value != model::CircuitSort::fuel) continue;
        // Its vapour hangs in the air, and that is told.
        if (circuit.is.fluid.known() && now.substances->flammable(circuit.is.fluid)) continue;
        for (const linked::ItemId opener : circuit.is.openers) {
            if (!opener.known() || !now.of(opener).present) continue;
            for (const fitted::InstanceId at : now.every(opener)) {
                const auto bad = now.some(at, [](const Standing& s) { return s.away() && s.place_known(); });
                if (!bad) continue;
                Finding& finding =
                    now.report(self,
                               fmt::format("the {} makes a flame or sparks while the {} is open: the {} is {}",
                                           now.linked.tools[flames.front().first.index()].name, circuit.is.name,
                                           now.name(opener), now.place_name(opener, bad->standing.place)),
                               bad);
                finding.at = flames.front().second;
                finding.more.push_back(now.cause(at, bad->standing));
                finding.help = fmt::format("bring the {} back to {} first, and let the vapour clear", now.name(opener),
                                           now.place_name(opener, 0));
                return;
            }
        }
    }
}

} // namespace

extern const Check flame_near_fuel{
    {"flame-near-fuel", messages::Level::error, "a flame is used while a fuel circuit is open"},
    When::demand,
    model::Demand::vapour_clear,
    find_flame_near_fuel};

} // namespace benchleaf::proof::checks
