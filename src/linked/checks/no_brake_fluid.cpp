#include "linked/look_over.h"
#include "linked/reports.h"

namespace benchleaf::linked {

namespace {

void find_no_brake_fluid(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::no_brake_fluid = {
    {"no-brake-fluid", messages::Level::error, "a hydraulic circuit is filled with what is no hydraulic fluid"},
    find_no_brake_fluid};

namespace {

// Does it move a part of the brakes?
const Item* brake_of(const Item& circuit, const ReadItem& read) {
    for (const ItemId moved : circuit.moves) {
        if (!moved.known()) continue;
        const Item& part = read(moved);
        if (part.part.system && part.part.system->value == model::System::brake) return &part;
    }
    return nullptr;
}

void find_no_brake_fluid(const Linked& linked, const Check& self, Messages& out) {
    // What the engine, the gears, the radiator and the tank are filled with.
    std::map<ConsumableId, const Item*> elsewhere;
    look_over(linked, [&](const Item& item, const ReadItem&) {
        if (item.sort == Sort::circuit && item.fluid.known() &&
            is_circuit(item, {model::CircuitSort::engine_oil, model::CircuitSort::coolant, model::CircuitSort::fuel}))
            elsewhere.try_emplace(item.fluid, &item);
        return false;
    });
    look_over(linked, [&](const Item& item, const ReadItem& read) {
        if (item.sort != Sort::circuit || !is_hydraulic(item) || !item.fluid.known() || !item.circuit_of.fluid)
            return false;
        const Consumable& what = linked.consumables[item.fluid.index()];
        const Span at = item.circuit_of.fluid->span;
        const auto& sort = what.figures.sort;
        if (sort && sort->value != model::ConsumableSort::fluid) {
            messages::Message& message =
                out.add(self.rule, at, "the " + item.name + " is filled with the " + what.name + ", which is no fluid");
            message.labels.push_back({sort->span, "its sort"});
            message.help = "name the fluid that the maker gives for it; if this is it, give it `sort: fluid`";
            return true;
        }
        const auto other = elsewhere.find(item.fluid);
        const Item* brake = brake_of(item, read);
        if (other == elsewhere.end() || brake == nullptr) return false;
        messages::Message& message =
            out.add(self.rule, at,
                    "the " + item.name + " is filled with the same as the " + other->second->name + ", and it brakes");
        message.labels.push_back({other->second->circuit_of.fluid->span, "the same"});
        message.labels.push_back({brake->declared, "this is moved by it"});
        message.help = "name the fluid that the maker gives for the brake";
        return true;
    });
}

} // namespace
} // namespace benchleaf::linked
