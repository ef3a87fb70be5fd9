// Vehicles: their axes, torques and limits, and the items that differ, whole, with what that changes for others.
#include "linked/linker.h"

#include "model/keys.h"
#include "model/lay_over.h"

#include <algorithm>
#include <array>

namespace benchleaf::linked {

namespace {

// The items of one vehicle that differ; the others are the catalogues'.
class VehicleItems {
public:
    explicit VehicleItems(const Linked& linked) : linked_(linked) {}

    const Item& read(ItemId id) const {
        const auto found = places_.find(id);
        return found == places_.end() ? linked_.items[id.index()] : items_[found->second].second;
    }
    Item& write(ItemId id) {
        const auto [at, fresh] = places_.try_emplace(id, items_.size());
        if (fresh) items_.emplace_back(id, linked_.items[id.index()]);
        return items_[at->second].second;
    }
    std::vector<std::pair<ItemId, Item>> take() {
        std::sort(items_.begin(), items_.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
        return std::move(items_);
    }

private:
    const Linked& linked_;
    std::unordered_map<ItemId, std::size_t> places_;
    std::vector<std::pair<ItemId, Item>> items_;
};

template <class M>
bool has_key(std::string_view name) {
    bool found = false;
    model::for_each_key<M>([&](const auto& key) { found = found || key.name == name; });
    return found;
}

bool has_key(Sort sort, std::string_view name) {
    switch (sort) {
    case Sort::fastener:
    case Sort::clip:
        return has_key<model::Fastener>(name);
    case Sort::part:
        return has_key<model::Part>(name);
    case Sort::circuit:
        return has_key<model::Circuit>(name);
    case Sort::setting:
        return has_key<model::Setting>(name);
    case Sort::adjustment:
        return has_key<model::Adjustment>(name);
    }
    return false;
}

// What places an item has is what every procedure counts on, so it is the same on all vehicles.
constexpr std::array<std::string_view, 4> shape{"also", "states", "secured-by", "rest"};

bool keys_are_good(Linker& linker, const Item& item, const model::ItemDifference& difference) {
    bool good = true;
    for (const auto& key : difference.keys) {
        if (std::find(shape.begin(), shape.end(), key.value) != shape.end()) {
            report_vehicle_changes_shape(linker.out, key.span, key.value, item.id, item.declared);
            good = false;
        } else if (!has_key(item.sort, key.value)) {
            report_wrong_sort(linker.out, key.span, with_article(sort_word(item.sort)) + " has no `" + key.value + "`",
                              item.declared, "`" + item.id + "` is " + with_article(sort_word(item.sort)), {});
        }
    }
    return good;
}

template <class M>
void differ(Linker& linker, Item& item, M Item::*declaration, const M& difference) {
    model::lay_over(item.*declaration, difference);
    fill_item(linker, linker.everything, item, difference);
}

void link_items(Linker& linker, Vehicle& vehicle) {
    if (!vehicle.source->items) return;
    VehicleItems items(linker.linked);
    for (const auto& named : vehicle.source->items->value) {
        const Entry* entry = linker.find(linker.everything, named.id.value, named.id.span, model::Refers::item);
        if (entry == nullptr) continue;
        const ItemId id(std::size_t{entry->index});
        if (!keys_are_good(linker, linker.linked.items[id.index()], named.value)) continue;
        const Item before = items.read(id);
        Item& item = items.write(id);
        switch (item.sort) {
        case Sort::part:
            differ(linker, item, &Item::part, named.value.part);
            break;
        case Sort::fastener:
        case Sort::clip:
            differ(linker, item, &Item::fastener, named.value.fastener);
            break;
        case Sort::circuit:
            differ(linker, item, &Item::circuit_of, named.value.circuit);
            break;
        case Sort::setting:
            differ(linker, item, &Item::setting, named.value.setting);
            break;
        case Sort::adjustment:
            differ(linker, item, &Item::adjustment, named.value.adjustment);
            break;
        }
        // Copied, because writing another item moves this one.
        const Item after = items.read(id);
        relate_item(id, &before, &after, [&items](ItemId other) -> Item& { return items.write(other); });
    }
    vehicle.items = items.take();
}

} // namespace

void Linker::link_vehicles() {
    for (Vehicle& vehicle : linked.vehicles) {
        const model::Vehicle& from = *vehicle.source;
        link_items(*this, vehicle);
        vehicle.torques = torques(everything, from.torques);
        vehicle.limits = limits(everything, from.limits);
        vehicle.cautions = ids<CautionId>(everything, from.cautions);
        if (!from.only) continue;
        for (const auto& entry : from.only->value) {
            const ItemId id = item(everything, entry.key);
            if (!id.known()) continue;
            for (const auto& narrowed : entry.value) {
                const AxisId along = axis(narrowed.key.name, narrowed.key.span);
                if (!along.known()) continue;
                Vehicle::Narrowed only{id, along, {}, narrowed.key.span, {}};
                for (const auto& value : narrowed.value) {
                    if (value.name.empty()) continue;
                    only.values.push_back(value.name);
                    only.value_spans.push_back(value.span);
                }
                if (!only.values.empty()) vehicle.only.push_back(std::move(only));
            }
        }
    }
}

} // namespace benchleaf::linked
