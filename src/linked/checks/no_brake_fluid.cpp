#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_no_brake_fluid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::no_brake_fluid = {
    {"no-brake-fluid", messages::Level::error,
     "a circuit is filled with what is no fluid, or a brake or clutch with another circuit's"},
    find_no_brake_fluid};

namespace {

// Does it brake, or move the clutch? By what it moves, or by its name in English.
bool brakes(const Item& circuit, const ReadItem& read) {
    const std::string name = base::small_letters(circuit.name);
    return name.find("brake") != std::string::npos || name.find("clutch") != std::string::npos ||
           std::any_of(circuit.moves.begin(), circuit.moves.end(), [&](ItemId moved) {
               if (!moved.known()) return false;
               const auto& system = read(moved).part.system;
               return system && system->value == model::System::brake;
           });
}

void find_no_brake_fluid(const Linked& linked, const Check& self, Messages& out) {
    // What the engine, the gears, the radiator and the tank are filled with.
    std::map<ConsumableId, const Item*> elsewhere;
    look_over(linked, [&](const Item& item, const ReadItem&) {
        if (item.sort == Sort::circuit && item.fluid.known() &&
            is_circuit(item, {model::CircuitSort::engine_oil, model::CircuitSort::coolant, model::CircuitSort::fuel,
                              model::CircuitSort::gear_oil}))
            elsewhere.try_emplace(item.fluid, &item);
        return false;
    });
    look_over(linked, [&](const Item& item, const ReadItem& read) {
        if (item.sort != Sort::circuit || !item.fluid.known() || !item.circuit_of.fluid) return false;
        const Consumable& what = linked.consumables[item.fluid.index()];
        const Span at = item.circuit_of.fluid->span;
        const auto& sort = what.figures.sort;
        const bool oil = sort && sort->value == model::ConsumableSort::lubricant && !is_hydraulic(item);
        if (sort && sort->value != model::ConsumableSort::fluid && !oil) {
            messages::Message& message =
                out.add(self.rule, at, "the " + item.name + " is filled with the " + what.name + ", which is no fluid");
            message.labels.push_back({sort->span, "its sort"});
            message.help = "name the fluid that the maker gives for it; if this is it, give it `sort: fluid`";
            return true;
        }
        const auto other = elsewhere.find(item.fluid);
        if (!is_hydraulic(item) || other == elsewhere.end() || !brakes(item, read)) return false;
        messages::Message& message =
            out.add(self.rule, at, "the " + item.name + " is filled with the same as the " + other->second->name);
        message.labels.push_back({other->second->circuit_of.fluid->span, "the same"});
        message.help = "name the fluid that the maker gives for it; where that is an oil, declare it by itself";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
