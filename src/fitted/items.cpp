// What a vehicle has: its axes, and the items with their instances.
#include "fitted/fitter.h"

#include "base/text.h"

#include <algorithm>
#include <utility>

namespace benchleaf::fitted {

Common::Common(const Linked& from) : linked(from), torques(from.items.size()) {
    axis_values.resize(linked.axes.size());
    const auto add_values = [this](AxisId axis, const std::vector<std::string>& values) {
        std::vector<std::string>& all = axis_values[axis.index()];
        for (const std::string& value : values) {
            if (std::find(all.begin(), all.end(), value) == all.end()) all.push_back(value);
        }
    };
    for (const linked::Vehicle& vehicle : linked.vehicles) {
        if (vehicle.source->has) {
            for (const auto& entry : vehicle.source->has->value) {
                Had& had =
                    features[entry.key.name].try_emplace(entry.value.name, Had{entry.value.span, {}}).first->second;
                had.by.push_back(vehicle.id);
            }
        }
        bool has_side = false;
        for (const auto& [axis, values] : vehicle.axes) {
            add_values(axis, values);
            has_side = has_side || axis.index() == 0;
        }
        if (!has_side && !linked.axes.empty()) add_values(AxisId(std::size_t{0}), linked.axes.front().values);
    }
    if (linked.vehicles.empty()) {
        for (std::size_t i = 0; i < linked.axes.size(); ++i) axis_values[i] = linked.axes[i].values;
    }
    for (std::size_t i = 0; i < linked.catalogues.size(); ++i) {
        for (const linked::Torque& torque : linked.catalogues[i].torques) {
            if (torque.fastener.known()) torques[torque.fastener.index()].emplace_back(linked::CatalogueId(i), &torque);
        }
    }
}

Fitter::Fitter(Shop& shop, linked::VehicleId vehicle, linked::JobId job, Messages& messages)
    : shop_(shop), out_(messages) {
    fit_.vehicle = vehicle;
    fit_.job = job;
    done_.resize(shop.linked.procedures.size());
    of_vehicle_.name = "a vehicle";
    if (job.known()) {
        job_ = &shop.linked.jobs[job.index()];
        for (const linked::Torque& torque : job_->torques) job_torques_.try_emplace(torque.fastener, &torque);
        for (const linked::LimitDifference& limit : job_->limits) job_limits_.try_emplace(limit.limit, &limit);
    }
    if (vehicle.known()) {
        vehicle_ = &shop.linked.vehicles[vehicle.index()];
        const model::Vehicle& from = *vehicle_->source;
        of_vehicle_ = {"the " + (from.name ? from.name->value : from.id.value), "vehicles/" + from.id.value + ".yaml",
                       from.id.span};
        if (from.has) {
            for (const auto& entry : from.has->value) has_.try_emplace(entry.key.name, &entry.value);
        }
        for (const linked::Torque& torque : vehicle_->torques) vehicle_torques_.try_emplace(torque.fastener, &torque);
        for (const linked::LimitDifference& limit : vehicle_->limits) vehicle_limits_.try_emplace(limit.limit, &limit);
    }
    fit_axes();
    auto items = std::make_shared<Items::All>();
    fit_items(*items);
    keep_present(*items);
    judge_holders(*items);
    fit_.items = Items(std::move(items));
}

std::optional<Failing> Fitter::failing(const model::Conditions& conditions) const {
    if (vehicle_ == nullptr) return std::nullopt;
    for (const auto& condition : conditions) {
        const auto has = has_.find(condition.key.name);
        const bool fits =
            has != has_.end() && std::any_of(condition.value.begin(), condition.value.end(),
                                             [&](const auto& value) { return value.name == has->second->name; });
        if (fits || condition.key.name.empty()) continue;
        Failing failing;
        failing.condition = condition.key.span;
        std::vector<std::string> values;
        for (const auto& value : condition.value) values.push_back(value.name);
        failing.wanted = condition.key.name + ": ";
        for (std::size_t i = 0; i < values.size(); ++i) failing.wanted += (i == 0 ? "" : " or ") + values[i];
        if (has != has_.end()) {
            failing.has = has->second->span;
            failing.has_value = has->second->name;
        }
        return failing;
    }
    return std::nullopt;
}

void Fitter::fit_axes() {
    for (const linked::Axis& axis : shop_.linked.axes) fit_.axes.push_back({axis.name, {}});
    for (std::size_t i = 0; i < fit_.axes.size(); ++i) {
        // `side` is [left, right] on every vehicle that does not say otherwise.
        if (vehicle_ == nullptr || i == 0) fit_.axes[i].values = shop_.linked.axes[i].values;
    }
    if (vehicle_ == nullptr) return;
    for (const auto& [axis, values] : vehicle_->axes) fit_.axes[axis.index()].values = values;
}

void Fitter::fit_items(Items::All& all) {
    std::vector<const linked::Item*> is;
    is.reserve(shop_.linked.items.size());
    for (const linked::Item& item : shop_.linked.items) is.push_back(&item);
    std::unordered_map<ItemId, std::vector<AxisValue>> narrowed;
    if (vehicle_ != nullptr) {
        for (const auto& [id, item] : vehicle_->items) is[id.index()] = &item;
        for (const linked::Vehicle::Narrowed& only : vehicle_->only) {
            const linked::Item& item = *is[only.item.index()];
            if (item.axis != only.axis) {
                report_only_of_no_axis(out_, only.span, shop_.linked.axes[only.axis.index()].name, "the " + item.name);
                continue;
            }
            const Axis& axis = fit_.axes[only.axis.index()];
            std::vector<AxisValue>& values = narrowed[only.item];
            for (std::size_t v = 0; v < only.values.size(); ++v) {
                auto found = std::find(axis.values.begin(), axis.values.end(), only.values[v]);
                if (found == axis.values.end()) {
                    const std::vector<std::string_view> candidates(axis.values.begin(), axis.values.end());
                    const std::string near(base::nearest(only.values[v], candidates));
                    report_impossible_only(out_, only.value_spans[v], only.values[v], axis.name, axis.values, near);
                    // What was meant is taken; where that cannot be told, nothing is narrowed.
                    found = std::find(axis.values.begin(), axis.values.end(), near);
                }
                if (found != axis.values.end()) values.push_back(static_cast<AxisValue>(found - axis.values.begin()));
            }
            if (values.empty()) narrowed.erase(only.item);
        }
    }
    all.items.reserve(is.size());
    for (std::size_t i = 0; i < is.size(); ++i) {
        Item& item = all.items.emplace_back(Item{*is[i], true, 0, 0});
        const ItemId id(i);
        item.first_instance = static_cast<std::uint32_t>(fit_.instances.size());
        item.present = holds(item.is.only_on);
        if (!item.present) continue;
        if (!item.is.axis.known()) {
            fit_.instances.push_back({id, no_value});
        } else {
            const auto only = narrowed.find(id);
            for (std::size_t v = 0; v < fit_.axes[item.is.axis.index()].values.size(); ++v) {
                const AxisValue value = static_cast<AxisValue>(v);
                if (only != narrowed.end() &&
                    std::find(only->second.begin(), only->second.end(), value) == only->second.end())
                    continue;
                fit_.instances.push_back({id, value});
            }
        }
        item.instances = static_cast<std::uint32_t>(fit_.instances.size()) - item.first_instance;
        item.present = item.instances > 0;
    }
}

namespace {

// Calls `one` with each id by which an item names another, and `list` with each list of such ids or of needs.
template <class Item, class One, class List>
void each_relation(Item& is, const One& one, const List& list) {
    for (auto* ids :
         {&is.held_by, &is.holds, &is.behind, &is.covers, &is.moves, &is.openers, &is.vented_by, &is.locked_by,
          &is.renew_together, &is.renew_with, &is.disturbs, &is.disturbed_by, &is.after, &is.needed_by})
        list(*ids);
    for (auto* id : {&is.inside, &is.circuit, &is.opens, &is.vents, &is.locks}) one(*id);
    list(is.needs);
    for (auto& each : is.whiles) list(each.needs);
    for (auto& place : is.places) list(place.frees);
}

ItemId item_of(ItemId id) {
    return id;
}
ItemId item_of(const linked::Need& need) {
    return need.item;
}

} // namespace

// What is not on the vehicle holds nothing, hides nothing and needs nothing.
void Fitter::keep_present(Items::All& all) {
    const auto absent = [&all](const auto& named) {
        const ItemId id = item_of(named);
        return id.known() && !all.items[id.index()].present;
    };
    std::vector<Item> kept;
    kept.reserve(all.items.size());
    for (const Item& item : all.items) {
        bool any = false;
        if (item.present)
            each_relation(
                item.is, [&](const ItemId& id) { any = any || absent(id); },
                [&](const auto& list) { any = any || std::any_of(list.begin(), list.end(), absent); });
        if (!any) {
            kept.push_back(item);
            continue;
        }
        linked::Item& is = all.changed.emplace_back(item.is);
        each_relation(
            is,
            [&](ItemId& id) {
                if (absent(id)) id = ItemId();
            },
            [&](auto& list) { std::erase_if(list, absent); });
        kept.push_back(Item{is, item.present, item.first_instance, item.instances});
    }
    all.items = std::move(kept);
}

// A holder on a side on which nothing is that it holds, because this leaves it out.
void Fitter::judge_idle_holders(const Items::All& all, const linked::Vehicle::Narrowed& only,
                                const std::function<bool(const Item&, AxisValue)>& has) {
    const Item& part = all.items[only.item.index()];
    if (!part.present || part.is.axis != only.axis) return;
    for (const ItemId id : part.is.held_by) {
        if (!id.known()) continue;
        const Item& holder = all.items[id.index()];
        if (!holder.present || holder.is.axis != only.axis) continue;
        for (std::uint32_t i = 0; i < holder.instances; ++i) {
            const AxisValue value = fit_.instances[holder.first_instance + i].value;
            const bool holds = std::any_of(holder.is.holds.begin(), holder.is.holds.end(), [&](ItemId held) {
                return all.items[held.index()].present && has(all.items[held.index()], value);
            });
            if (holds || value == no_value) continue;
            report_holder_of_nothing(out_, only.span, part.is, holder.is, fit_.axes[only.axis.index()].values[value]);
            break;
        }
    }
}

// A part on a side on which what holds it is not. Another holder stands for it there that is itself not on every side of the part.
void Fitter::judge_holders(const Items::All& all) {
    if (vehicle_ == nullptr) return;
    const auto has = [&](const Item& item, AxisValue value) {
        for (std::uint32_t i = 0; i < item.instances; ++i) {
            const AxisValue its = fit_.instances[item.first_instance + i].value;
            if (its == value || its == no_value) return true;
        }
        return false;
    };
    for (const linked::Vehicle::Narrowed& only : vehicle_->only) {
        if (!only.item.known()) continue;
        judge_idle_holders(all, only, has);
        const Item& holder = all.items[only.item.index()];
        if (!holder.present || holder.is.axis != only.axis) continue;
        for (const ItemId held : holder.is.holds) {
            const Item& part = all.items[held.index()];
            if (!part.present || part.is.axis != only.axis) continue;
            const auto is_on_every_side = [&](const Item& other) {
                for (std::uint32_t i = 0; i < part.instances; ++i)
                    if (!has(other, fit_.instances[part.first_instance + i].value)) return false;
                return true;
            };
            for (std::uint32_t i = 0; i < part.instances; ++i) {
                const AxisValue value = fit_.instances[part.first_instance + i].value;
                if (has(holder, value)) continue;
                const bool another = std::any_of(part.is.held_by.begin(), part.is.held_by.end(), [&](ItemId id) {
                    if (!id.known() || id == only.item) return false;
                    const Item& other = all.items[id.index()];
                    return other.present && has(other, value) && !is_on_every_side(other);
                });
                if (another) continue;
                report_holder_not_on_side(out_, only.span, part.is, holder.is,
                                          fit_.axes[only.axis.index()].values[value]);
                break;
            }
        }
    }
}

Fit Fitter::alone(ProcedureId id, Looks& looks) {
    fit_.items.note(&looks);
    looks_ = &looks;
    fit_procedure(id);
    Fit made;
    made.vehicle = fit_.vehicle;
    made.axes = fit_.axes;
    made.items = fit_.items;
    made.instances = fit_.instances;
    made.procedures = std::exchange(fit_.procedures, {});
    for (const Procedure& each : made.procedures) done_[each.id.index()] = ProcedureIndex();
    no_torque_.clear();
    no_limit_.clear();
    judged_limits_.clear();
    fit_.items.note(nullptr);
    looks_ = nullptr;
    return made;
}

} // namespace benchleaf::fitted
