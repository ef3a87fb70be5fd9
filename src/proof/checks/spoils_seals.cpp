#include "proof/check.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_spoils_seals(Moment& now, const Check& self) {
    for (const Moment::Used& used : now.used()) {
        const linked::Consumable& what = now.of(used.consumable);
        if (!what.figures.spoils) continue;
        for (const linked::ItemId circuit : now.circuits()) {
            const auto& seals = now.of(circuit).is.circuit_of.seals;
            if (!seals) continue;
            const auto& spoils = what.figures.spoils->value;
            const auto at = std::find_if(spoils.begin(), spoils.end(),
                                         [&](const auto& rubber) { return rubber.value == seals->value; });
            if (at == spoils.end()) continue;
            const std::string where = circuit == now.item ? std::string() : fmt::format(" through {{item}}{{sides}}");
            Finding& finding = now.report(self, fmt::format("the {} reaches the seals of the {}{}, and spoils them",
                                                            what.name, now.name(circuit), where));
            finding.at = used.span;
            finding.more.push_back({seals->span, fmt::format("the seals are of {}", seals->value)});
            finding.more.push_back({at->span, "spoils that"});
            finding.help = fmt::format("take one that leaves {} alone", seals->value);
        }
    }
}

} // namespace

extern const Check spoils_seals{
    {"spoils-seals", messages::Level::error, "a substance attacks the seals of the circuit that it touches"},
    When::demand,
    model::Demand::seals_safe,
    find_spoils_seals};

} // namespace benchleaf::proof::checks
