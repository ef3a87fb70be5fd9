// What the brakes and the clutch are filled with, and what else is filled with the same. Internal to linked/.
#pragma once

#include "linked/look_over.h"

#include <map>
#include <utility>
#include <vector>

namespace benchleaf::linked {

// Does it brake, or move the clutch? By what it moves, or by its name in English.
inline bool brakes(const Item& circuit, const ReadItem& read) {
    const std::string name = base::small_letters(circuit.name);
    return is_hydraulic(circuit) &&
           (name.find("brake") != std::string::npos || name.find("clutch") != std::string::npos ||
            std::any_of(circuit.moves.begin(), circuit.moves.end(), [&](ItemId moved) {
                if (!moved.known()) return false;
                const auto& system = read(moved).part.system;
                return system && system->value == model::System::brake;
            }));
}

// The circuits of engine, gears, radiator and tank, by what they are filled with.
using Filled = std::map<ConsumableId, std::vector<const Item*>>;
inline Filled filled_elsewhere(const Linked& linked) {
    Filled all;
    look_over(linked, [&](const Item& item, const ReadItem&) {
        if (item.sort == Sort::circuit && item.fluid.known() && item.circuit_of.fluid &&
            is_circuit(item, {model::CircuitSort::engine_oil, model::CircuitSort::coolant, model::CircuitSort::fuel,
                              model::CircuitSort::gear_oil}))
            all[item.fluid].push_back(&item);
        return false;
    });
    return all;
}

// Where both stand in one file, or the other beside the fluid, whoever reads the one has read the other.
inline bool read_together(const Linked& linked, const Item& circuit, const Item& other) {
    return other.catalogue == circuit.catalogue ||
           other.catalogue == linked.consumables[circuit.fluid.index()].catalogue;
}

// Tells each brake or clutch that is filled with what another circuit is filled with, told together with it or apart.
inline void tell_shared(const Linked& linked, bool together, const messages::Rule& rule, messages::Messages& out) {
    const Filled elsewhere = filled_elsewhere(linked);
    look_over(linked, [&](const Item& item, const ReadItem& read) {
        if (item.sort != Sort::circuit || !item.fluid.known() || !item.circuit_of.fluid || !brakes(item, read))
            return false;
        const auto& sort = linked.consumables[item.fluid.index()].figures.sort;
        if (sort && sort->value != model::ConsumableSort::fluid) return false; // which is told of it
        const auto others = elsewhere.find(item.fluid);
        if (others == elsewhere.end()) return false;
        const bool any_together = std::any_of(others->second.begin(), others->second.end(),
                                              [&](const Item* each) { return read_together(linked, item, *each); });
        if (any_together != together) return false;
        const auto other = std::find_if(others->second.begin(), others->second.end(), [&](const Item* each) {
            return read_together(linked, item, *each) == together;
        });
        messages::Message& message = out.add(rule, item.circuit_of.fluid->span,
                                             "the " + item.name + " is filled with the same as the " + (*other)->name);
        message.labels.push_back({(*other)->circuit_of.fluid->span, "the same"});
        message.help = "name the fluid that the maker gives for it; where that is an oil, declare it by itself";
        return true;
    });
}

} // namespace benchleaf::linked
