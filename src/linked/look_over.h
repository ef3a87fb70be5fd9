// For checks over the whole shop: each item as the catalogues have it, and once more as a vehicle has it that changes it or something
// that it holds. Internal to linked/.
#pragma once

#include "linked/linked.h"

#include <functional>
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
        }
    }
}

} // namespace benchleaf::linked
