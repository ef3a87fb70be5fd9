// The relations that items say of others, as the others see them; and the files that hold a whole shop's worth of
// them: vehicles, which may change what an item says.
#include "linked/linker.h"

#include "model/model.h"

#include <algorithm>
#include <unordered_map>

namespace benchleaf::linked {

namespace {

using List = std::vector<ItemId> Item::*;
using Relation = std::pair<ItemId, List>;

std::vector<Relation> relations(const Item& item) {
    std::vector<Relation> all;
    const auto one = [&all](ItemId id, List list) {
        if (id.known()) all.emplace_back(id, list);
    };
    const auto each = [&one](const std::vector<ItemId>& ids, List list) {
        for (const ItemId id : ids) one(id, list);
    };
    each(item.held_by, &Item::holds);
    each(item.behind, &Item::covers);
    one(item.inside, &Item::covers);
    one(item.circuit, &Item::moves);
    one(item.opens, &Item::openers);
    one(item.vents, &Item::vented_by);
    one(item.locks, &Item::locked_by);
    each(item.disturbed_by, &Item::disturbs);
    each(item.after, &Item::disturbs);
    for (const Need& need : item.needs) one(need.item, &Item::needed_by);
    return all;
}

} // namespace

void relate_item(ItemId id, const Item* before, const Item* after, const std::function<Item&(ItemId)>& at) {
    const std::vector<Relation> old = before == nullptr ? std::vector<Relation>() : relations(*before);
    const std::vector<Relation> now = after == nullptr ? std::vector<Relation>() : relations(*after);
    for (const Relation& relation : old) {
        if (std::find(now.begin(), now.end(), relation) != now.end()) continue;
        std::vector<ItemId>& list = at(relation.first).*relation.second;
        std::erase(list, id);
    }
    for (const Relation& relation : now) {
        if (std::find(old.begin(), old.end(), relation) != old.end()) continue;
        Item& other = at(relation.first);
        std::vector<ItemId>& list = other.*relation.second;
        if (std::find(list.begin(), list.end(), id) == list.end()) list.push_back(id);
    }
}

void Linker::relate() {
    const auto at = [this](ItemId id) -> Item& { return linked.items[id.index()]; };
    for (std::size_t i = 0; i < linked.items.size(); ++i) {
        const ItemId id(i);
        for (const auto& [other, list] : relations(linked.items[i])) {
            // Items are walked in order, so that a double can only be the last one.
            std::vector<ItemId>& ids = at(other).*list;
            if (ids.empty() || ids.back() != id) ids.push_back(id);
        }
        for (const LimitId limit : linked.items[i].proved_by) {
            std::vector<ItemId>& proves = linked.limits[limit.index()].proves;
            if (proves.empty() || proves.back() != id) proves.push_back(id);
        }
    }
}

} // namespace benchleaf::linked
