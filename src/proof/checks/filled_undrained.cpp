#include "linked/look_over.h"
#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// A brake is flushed with more than it holds, and a tank may have been empty.
bool is_drained_first(model::CircuitSort sort) {
    return sort == model::CircuitSort::engine_oil || sort == model::CircuitSort::gear_oil ||
           sort == model::CircuitSort::coolant;
}

void find_filled_undrained(Moment& now, const Check& self) {
    const model::Circuit& circuit = now.it().is.circuit_of;
    if (!circuit.sort || !circuit.holds || !is_drained_first(circuit.sort->value)) return;
    const units::Quantity& holds = circuit.holds->value.quantity;
    const auto& amount = now.row->step->source->amount;
    if (amount && units::value_in(amount->value.quantity, units::Unit::litre) <
                      linked::whole_fill * units::value_in(holds, units::Unit::litre))
        return;
    const auto bad = now.some(now.at, [](const Standing& s) { return (s.on & still_in) != 0; });
    if (!bad) return;
    Finding& finding = now.report(
        self, fmt::format("the whole {} is filled in{{sides}} while the old is still in", now.name(now.item)), bad);
    finding.more.push_back({circuit.holds->span, "it holds " + units::print(holds)});
    now.remedies->open_before(now, finding, bad->standing.owes(model::Debt::fill));
}

} // namespace

extern const Check filled_undrained{
    {"filled-undrained", messages::Level::error, "a circuit is filled whole, and nothing drained it before"},
    When::demand,
    model::Demand::drained,
    find_filled_undrained};

} // namespace benchleaf::proof::checks
