#include "linked/rings.h"

#include <algorithm>
#include <cstdint>
#include <utility>

namespace benchleaf::linked {

// Found from outside in. A part needs all its holders off, or all that one of its own places lists.
std::vector<char> come_away(const Linked& linked) {
    const std::size_t count = linked.items.size();
    std::vector<std::vector<std::uint32_t>> waits_for_me(count);
    for (std::size_t i = 0; i < count; ++i) {
        const Item& item = linked.items[i];
        const auto wait = [&](ItemId on) { waits_for_me[on.index()].push_back(static_cast<std::uint32_t>(i)); };
        for (const ItemId on : item.behind) wait(on);
        if (item.inside.known()) wait(item.inside);
        for (const ItemId on : item.held_by) wait(on);
    }
    std::vector<char> free(count, 0);
    const auto all_free = [&free](const std::vector<ItemId>& ids) {
        return std::all_of(ids.begin(), ids.end(), [&free](ItemId id) { return free[id.index()] != 0; });
    };
    const auto comes_away = [&](const Item& item) {
        if (!all_free(item.behind) || (item.inside.known() && free[item.inside.index()] == 0)) return false;
        if (item.sort != Sort::part || all_free(item.held_by)) return true;
        return std::any_of(item.places.begin(), item.places.end(),
                           [&](const PlaceName& place) { return place.span.known() && all_free(place.frees); });
    };
    std::vector<std::uint32_t> work;
    for (std::size_t i = count; i > 0; --i) work.push_back(static_cast<std::uint32_t>(i - 1));
    while (!work.empty()) {
        const std::uint32_t i = work.back();
        work.pop_back();
        if (free[i] != 0 || !comes_away(linked.items[i])) continue;
        free[i] = 1;
        work.insert(work.end(), waits_for_me[i].begin(), waits_for_me[i].end());
    }
    return free;
}

void cut_rings_of_parts(Linked& linked) {
    const std::vector<char> free = come_away(linked);
    if (std::find(free.begin(), free.end(), 0) == free.end()) return;
    // Does the one wait for the other, over however many others?
    const auto leads_to = [&](ItemId from, ItemId to) {
        std::vector<char> seen(linked.items.size(), 0);
        std::vector<ItemId> open{from};
        while (!open.empty()) {
            const ItemId at = open.back();
            open.pop_back();
            if (at == to) return true;
            if (free[at.index()] != 0 || seen[at.index()] != 0) continue;
            seen[at.index()] = 1;
            const Item& item = linked.items[at.index()];
            if (item.inside.known()) open.push_back(item.inside);
            open.insert(open.end(), item.behind.begin(), item.behind.end());
            open.insert(open.end(), item.held_by.begin(), item.held_by.end());
        }
        return false;
    };
    std::vector<std::pair<ItemId, ItemId>> rings; // what is behind, or inside, what
    for (std::size_t i = 0; i < linked.items.size(); ++i) {
        if (free[i] != 0) continue;
        const Item& item = linked.items[i];
        for (const ItemId other : item.behind)
            if (leads_to(other, ItemId(i))) rings.emplace_back(ItemId(i), other);
        if (item.inside.known() && leads_to(item.inside, ItemId(i))) rings.emplace_back(ItemId(i), item.inside);
    }
    const auto cut = [&rings](ItemId id, Item& item) {
        for (const auto& [under, over] : rings) {
            if (under == id) std::erase(item.behind, over);
            if (under == id && item.inside == over) item.inside = ItemId();
            if (over == id) std::erase(item.covers, under);
        }
    };
    for (std::size_t i = 0; i < linked.items.size(); ++i) cut(ItemId(i), linked.items[i]);
    for (Vehicle& vehicle : linked.vehicles)
        for (auto& [id, item] : vehicle.items) cut(id, item);
}

} // namespace benchleaf::linked
