#include "proof/check.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// Does the circuit go round in that state of the setting?
bool runs_in(const linked::Item& circuit, linked::ItemId setting, linked::Place state) {
    return std::any_of(circuit.whiles.begin(), circuit.whiles.end(), [&](const linked::While& each) {
        return each.verb == model::VerbName::circulate &&
               std::any_of(each.needs.begin(), each.needs.end(),
                           [&](const linked::Need& need) { return need.item == setting && need.place == state; });
    });
}

bool ruins_it_dry(model::CircuitSort sort) {
    return sort == model::CircuitSort::engine_oil || sort == model::CircuitSort::coolant;
}

void find_run_dry(Moment& now, const Check& self) {
    for (std::size_t i = 0; i < now.fit.items.size(); ++i) {
        const fitted::Item& circuit = now.fit.items.unnoted(i);
        const auto& sort = circuit.is.circuit_of.sort;
        if (!circuit.present || !sort || !ruins_it_dry(sort->value)) continue;
        if (!runs_in(circuit.is, now.item, now.place)) continue;
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

extern const Check run_dry{
    {"run-dry", messages::Level::error, "an engine is run while its oil or its coolant is drained"},
    When::demand,
    model::Demand::one_rung,
    find_run_dry};

} // namespace benchleaf::proof::checks
