// Vehicles: their axes, torques and limits, and the items that differ, whole, with what that changes for others.
#include "linked/linker.h"

#include "base/text.h"
#include "model/keys.h"
#include "model/lay_over.h"

#include <algorithm>
#include <array>
#include <map>

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

// What procedures, items and steps ask of a vehicle.
struct Asked {
    struct Times {
        std::size_t times = 0;
        Span first;
        void add(Span at) {
            if (times++ == 0) first = at;
        }
    };
    using Values = std::map<std::string, Times>;
    struct Feature {
        Times all;
        Values values;
    };
    std::map<std::string, Feature> features;

    void add(const model::Conditions& conditions) {
        for (const auto& condition : conditions) {
            Feature& feature = features[condition.key.name];
            feature.all.add(condition.key.span);
            for (const auto& value : condition.value) feature.values[value.name].add(value.span);
        }
    }
    void add(const Steps& steps) {
        for (const Step& step : steps) {
            if (step.source != nullptr && step.source->when) add(step.source->when->value);
            for (const Steps* below : {&step.if_so, &step.if_not, &step.steps, &step.otherwise}) add(*below);
        }
    }
};

// The one that is asked for more than once, and that the word is a slip for.
template <class M>
const typename M::value_type* meant_by(const std::string& word, const M& asked) {
    const typename M::value_type* meant = nullptr;
    for (const auto& each : asked) {
        if (!base::is_slip(word, each.first)) continue;
        if (meant != nullptr) return nullptr;
        meant = &each;
    }
    return meant;
}

} // namespace

// What one vehicle has, no other has, and nothing asks for, is misspelt where what it is a slip for is asked for again and again.
void Linker::link_features() {
    Asked asked;
    for (const Item& item : linked.items) asked.add(item.only_on);
    for (const Procedure& procedure : linked.procedures) {
        if (procedure.source->fits) asked.add(procedure.source->fits->value);
        for (const Section& section : procedure.sections) {
            if (section.source != nullptr && section.source->when) asked.add(section.source->when->value);
            asked.add(section.steps);
        }
    }
    std::map<std::string, std::size_t> features;
    std::map<std::pair<std::string, std::string>, std::size_t> values;
    for (Vehicle& vehicle : linked.vehicles) {
        if (vehicle.source->has) vehicle.has = vehicle.source->has->value;
        for (const auto& entry : vehicle.has) {
            ++features[entry.key.name];
            ++values[{entry.key.name, entry.value.name}];
        }
    }
    if (!model.unread.empty()) return; // it may ask for it
    for (Vehicle& vehicle : linked.vehicles) {
        for (auto& [key, value] : vehicle.has) {
            const auto feature = asked.features.find(key.name);
            if (feature == asked.features.end()) {
                const auto* const meant = meant_by(key.name, asked.features);
                if (meant == nullptr || meant->second.all.times < 2 || features[key.name] > 1) continue;
                report_misspelt_feature(out, key.span, key.name, key.name, meant->first, meant->first,
                                        meant->second.all.times, meant->second.all.first);
                key.name = meant->first;
            } else if (!feature->second.values.contains(value.name)) {
                const auto* const meant = meant_by(value.name, feature->second.values);
                if (meant == nullptr || meant->second.times < 2 || values[{key.name, value.name}] > 1) continue;
                report_misspelt_feature(out, value.span, key.name + ": " + value.name, value.name, meant->first,
                                        key.name + ": " + meant->first, meant->second.times, meant->second.first);
                value.name = meant->first;
            }
        }
    }
}

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
