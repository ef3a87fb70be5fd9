#include "proof/check.h"
#include "proof/turns.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_run_dry(Moment& now, const Check& self) {
    for (std::size_t i = 0; i < now.fit.items.size(); ++i) {
        const fitted::Item& circuit = now.fit.items.unnoted(i);
        const auto& sort = circuit.is.circuit_of.sort;
        if (!circuit.present || !sort || sort->value == model::CircuitSort::fuel) continue;
        if (!goes_round_in(circuit.is, now.item, now.it().is, now.place)) continue;
        for (const fitted::InstanceId at : now.beside(linked::ItemId(i))) {
            const auto bad = now.some(at, [](const Standing& s) { return s.owes(model::Debt::fill); });
            if (!bad) continue;
            Finding& finding = now.report(self,
                                          fmt::format("{{item}} is {}{{sides}} while the {} is drained",
                                                      now.place_name(now.item, now.place), circuit.is.name),
                                          bad);
            if (auto since = now.debt_cause(at, bad->standing)) finding.more.push_back(std::move(*since));
            finding.help = fmt::format("`fill` the {} before this step, on every way that leads here", circuit.is.name);
            break;
        }
    }
}

} // namespace

extern const Check run_dry{{"run-dry", messages::Level::error,
                            "an engine is run while its oil, its coolant or another of its circuits is drained"},
                           When::demand,
                           model::Demand::one_rung,
                           find_run_dry};

} // namespace benchleaf::proof::checks
