// What checks over the whole shop share: each item as the catalogues have it, and once more as a vehicle has it that changes it or
// something that it holds; each step of a procedure; what a decision rests on.
#pragma once

#include "base/text.h"
#include "linked/linked.h"
#include "messages/message.h"

#include <algorithm>
#include <functional>
#include <initializer_list>
#include <map>
#include <set>
#include <unordered_map>
#include <unordered_set>

namespace benchleaf::linked {

using ReadItem = std::function<const Item&(ItemId)>; // as the same vehicle has it

// `find` returns true when it has found fault; that item is then not looked at again.
inline void look_over(const Linked& linked, const std::function<bool(const Item&, const ReadItem&)>& find) {
    std::unordered_set<ItemId> told;
    const ReadItem of_catalogue = [&](ItemId id) -> const Item& { return linked.items[id.index()]; };
    for (std::size_t i = 0; i < linked.items.size(); ++i)
        if (find(linked.items[i], of_catalogue)) told.insert(ItemId(i));
    for (const Vehicle& vehicle : linked.vehicles) {
        std::unordered_map<ItemId, const Item*> own;
        for (const auto& [id, item] : vehicle.items) own.emplace(id, &item);
        const ReadItem read = [&](ItemId id) -> const Item& {
            const auto found = own.find(id);
            return found == own.end() ? linked.items[id.index()] : *found->second;
        };
        const auto look = [&](ItemId id) {
            if (id.known() && !told.contains(id) && find(read(id), read)) told.insert(id);
        };
        for (const auto& [id, item] : vehicle.items) {
            look(id);
            for (const ItemId holder : item.held_by) look(holder);
            for (const ItemId opener : item.openers) look(opener);
            for (const ItemId vent : item.vented_by) look(vent);
            for (const ItemId locker : item.locked_by) look(locker);
            look(item.locks);
        }
    }
}

// Of brake, wheel, steering or suspension: a part that is lost hurts somebody.
inline bool hurts_if_lost(model::System system) {
    switch (system) {
    case model::System::brake:
    case model::System::wheel:
    case model::System::steering:
    case model::System::suspension:
        return true;
    default:
        return false;
    }
}
inline bool bears_people(const Item& item) {
    return item.sort == Sort::part && item.part.system && hurts_if_lost(item.part.system->value);
}

// Of the parts that a fastener holds, one of the system `wheel`; null: none.
inline const Item* wheel_held_by(const Item& fastener, const ReadItem& read) {
    for (const ItemId id : fastener.holds)
        if (const auto& system = read(id).part.system; system && system->value == model::System::wheel)
            return &read(id);
    return nullptr;
}

// A part with a face that rubs.
inline bool rubs(const Item& part) {
    const auto& surfaces = part.part.surfaces;
    return surfaces && std::any_of(surfaces->value.begin(), surfaces->value.end(),
                                   [](const auto& each) { return each.value.value == model::Surface::friction; });
}

// Such a part, or a fastener that the catalogue calls critical.
inline bool people_rely_on(const Item& item) {
    return bears_people(item) || ((item.sort == Sort::fastener || item.sort == Sort::clip) && item.critical);
}
inline messages::Label relied_on(const Item& item) {
    const bool by_system = bears_people(item);
    return {by_system                ? item.part.system->span
            : item.fastener.critical ? item.fastener.critical->span
                                     : item.declared,
            "people rely on it"};
}

// Which of them says that people rely on it: the thing itself, or a critical fastener that holds it; of an adjustment, what disturbs it, or
// what that holds. Null: nobody.
inline const Item* relied_on_for(const Linked& linked, const Item& item) {
    if (people_rely_on(item)) return &item;
    for (const auto* others : {&item.held_by, &item.disturbed_by})
        for (const ItemId other : *others) {
            const Item& is = linked.items[other.index()];
            if (people_rely_on(is)) return &is;
            if (others == &item.held_by) continue;
            for (const ItemId held : is.holds)
                if (bears_people(linked.items[held.index()])) return &linked.items[held.index()];
        }
    return nullptr;
}

// What a thing is, by its name in English, in small letters: `Seal of the oil pump, front` is a seal. The last of the words is the noun.
inline std::vector<std::string> what_it_is(std::string_view printed) {
    std::string name = base::small_letters(printed);
    for (const std::string_view behind : {" of ", " for ", ",", " ("}) name = name.substr(0, name.find(behind));
    const std::vector<std::string_view> words = base::split(name, ' ');
    return {words.begin(), words.end()};
}

inline bool is_among(std::string_view word, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

// Bent open behind a nut with slots: by its English name, as above.
inline bool is_split_pin(const Item& item) {
    const std::vector<std::string> words = what_it_is(item.name);
    if (words.empty()) return false;
    const bool pin = words.back() == "pin" || words.back() == "pins";
    const std::string& sort = words[words.size() - (pin && words.size() > 1 ? 2 : 1)];
    return sort == "cotter" || (pin && sort == "split");
}

inline bool is_circuit(const Item& item, std::initializer_list<model::CircuitSort> sorts) {
    const auto& sort = item.circuit_of.sort;
    return sort && std::find(sorts.begin(), sorts.end(), sort->value) != sorts.end();
}
// Petrol on an exhaust, coolant under pressure.
inline bool hurts_when_hot(const Item& circuit) {
    return is_circuit(circuit, {model::CircuitSort::coolant, model::CircuitSort::fuel});
}
inline bool is_hydraulic(const Item& circuit) {
    return is_circuit(circuit, {model::CircuitSort::hydraulic});
}

// Does an engine turn in a state of that name? In English, as above.
inline bool turns(std::string_view state) {
    const std::vector<std::string> words = what_it_is(state);
    return std::any_of(words.begin(), words.end(), [](const std::string& word) {
        return is_among(word, {"running", "runs", "idling", "idle", "cranking", "revving", "revs"});
    });
}

// Of what a circuit holds: from there on a fill is no topping up.
inline constexpr double whole_fill = 0.75;

// The circuits whose fluid runs out where that leaves its place: out of itself, out of what the fastener opens; with a part, out of what it stands in, and
// of what its holders shut. Through the hole that one is filled by, or up to, nothing runs out. `present`: the item, or null where the vehicle has none.
template <class Present>
std::vector<ItemId> lets_out(ItemId id, const Item& away, const Present& present) {
    std::vector<ItemId> circuits;
    const auto out_of = [&](ItemId circuit) {
        const Item* is = circuit.known() ? present(circuit) : nullptr;
        if (is != nullptr && !is->filled_through(id)) circuits.push_back(circuit);
    };
    if (away.sort == Sort::circuit) return {id};
    out_of(away.opens);
    if (const Item* stands_in = away.circuit.known() ? present(away.circuit) : nullptr;
        stands_in != nullptr && stands_in->is_open_without_its_parts())
        circuits.push_back(away.circuit);
    for (const ItemId holder : away.held_by)
        if (const Item* is = holder.known() ? present(holder) : nullptr; is != nullptr) out_of(is->opens);
    return circuits;
}

inline bool is_of_sort(const Linked& linked, ConsumableId id, model::ConsumableSort sort) {
    if (!id.known()) return false;
    const auto& is = linked.consumables[id.index()].figures.sort;
    return is && is->value == sort;
}

// Each step, before those that lie in it.
using SeeStep = std::function<void(const Step&)>;
inline void each_step(const Steps& steps, const SeeStep& see) {
    for (const Step& step : steps) {
        see(step);
        for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) each_step(*below, see);
    }
}
inline void each_step(const Procedure& procedure, const SeeStep& see) {
    for (const Section& section : procedure.sections) each_step(section.steps, see);
}

// Of which items a limit is, or an inspection looks at.
using Looked = std::map<StepId, const Step*>; // the steps of a procedure
inline std::set<ItemId> rests_on(const Linked& linked, const Basis& basis, const Looked& looked) {
    std::set<ItemId> items;
    if (basis.limit.known())
        items.insert(linked.limits[basis.limit.index()].of.begin(), linked.limits[basis.limit.index()].of.end());
    const auto at = looked.find(basis.inspection);
    if (basis.inspection.known() && at != looked.end())
        for (const Target& target : at->second->targets) items.insert(target.item);
    items.erase(ItemId());
    return items;
}

// What a new one or a new setting brings right: that, and the adjustments that the limit proves.
inline std::set<ItemId> brought_right(const Linked& linked, const Basis& basis, const Looked& looked) {
    std::set<ItemId> items = rests_on(linked, basis, looked);
    if (basis.limit.known())
        items.insert(linked.limits[basis.limit.index()].proves.begin(),
                     linked.limits[basis.limit.index()].proves.end());
    return items;
}

} // namespace benchleaf::linked
