#include "fitted/alike.h"

#include "model/tree.h"

#include <algorithm>
#include <array>
#include <string>
#include <unordered_map>

namespace benchleaf::fitted {

namespace {

// Keys of an item that change neither what sort of thing it is nor how it and others hold each other.
constexpr std::array<std::string_view, 6> figure_keys = {"class", "count", "head", "holds", "name", "thread"};

class Numbers {
public:
    std::size_t of(std::string text) {
        return numbers_.try_emplace(std::move(text), numbers_.size() + 1).first->second;
    }

private:
    std::unordered_map<std::string, std::size_t> numbers_;
};

template <class T>
std::string text_of(const T& thing) {
    return model::lay_out(model::tree_of(thing));
}

std::string declaration_of(const linked::Item& item) {
    switch (item.sort) {
    case linked::Sort::fastener:
    case linked::Sort::clip:
        return text_of(item.fastener);
    case linked::Sort::part:
        return text_of(item.part);
    case linked::Sort::circuit:
        return text_of(item.circuit_of);
    case linked::Sort::setting:
        return text_of(item.setting);
    case linked::Sort::adjustment:
        return text_of(item.adjustment);
    }
    return {};
}

bool changes_more_than_figures(const linked::Vehicle& vehicle) {
    const auto& items = vehicle.source->items;
    return items && std::any_of(items->value.begin(), items->value.end(), [](const auto& each) {
               return std::any_of(each.value.keys.begin(), each.value.keys.end(), [](const auto& key) {
                   return std::find(figure_keys.begin(), figure_keys.end(), key.value) == figure_keys.end();
               });
           });
}

// All that makes a vehicle, but its name and the figures that are compared one by one.
std::string sort_of(const linked::Vehicle& vehicle) {
    model::Vehicle rest;
    rest.has = vehicle.source->has;
    rest.axes = vehicle.source->axes;
    rest.wheels = vehicle.source->wheels;
    rest.only = vehicle.source->only;
    std::string text = text_of(rest);
    if (changes_more_than_figures(vehicle))
        for (const auto& [id, item] : vehicle.items) text += std::to_string(id.value) + "\n" + declaration_of(item);
    return text;
}

} // namespace

Alike::Alike(const linked::Linked& linked) {
    Numbers sorts;
    Numbers texts;
    for (const linked::Vehicle& vehicle : linked.vehicles) {
        const std::size_t sort = sorts.of(sort_of(vehicle)) - 1;
        sorts_.push_back(sort);
        Figures& own = own_.emplace_back();
        for (const auto& [id, item] : vehicle.items) own[{Level::item, id.value}] = texts.of(declaration_of(item));
        for (const linked::Torque& each : vehicle.torques) // the first one counts, as in fitting
            if (each.fastener.known())
                own.try_emplace({Level::torque, each.fastener.value}, texts.of(text_of(each.figures)));
        for (const linked::LimitDifference& each : vehicle.limits)
            if (each.limit.known()) own.try_emplace({Level::limit, each.limit.value}, texts.of(text_of(each.figures)));
        if (any_of_sort_.size() <= sort) {
            any_of_sort_.resize(sort + 1);
            of_sort_.resize(sort + 1);
        }
        of_sort_[sort].push_back(vehicle.id);
        for (const auto& [figure, says] : own) any_of_sort_[sort].insert(figure);
    }
}

std::size_t Alike::says(linked::VehicleId vehicle, const Figure& figure) const {
    const Figures& own = own_[vehicle.index()];
    const auto found = own.find(figure);
    return found == own.end() ? 0 : found->second;
}

std::optional<bool> Verdicts::of(linked::ProcedureId procedure, linked::VehicleId vehicle) const {
    const auto found = seen_.find({procedure, alike_.sorts_[vehicle.index()]});
    if (found == seen_.end()) return std::nullopt;
    for (const Seen& each : found->second)
        if (std::all_of(each.looked_at.begin(), each.looked_at.end(),
                        [&](const auto& figure) { return alike_.says(vehicle, figure.first) == figure.second; }))
            return each.good;
    return std::nullopt;
}

void Verdicts::remember(linked::ProcedureId procedure, linked::VehicleId vehicle, const Looks& looks, bool good) {
    const std::size_t sort = alike_.sorts_[vehicle.index()];
    Seen seen{{}, good};
    for (const Alike::Figure& figure : alike_.any_of_sort_[sort]) {
        const auto& [level, whose] = figure;
        const std::vector<char>& at = level == Alike::Level::item     ? looks.items
                                      : level == Alike::Level::torque ? looks.torques
                                                                      : looks.limits;
        if (at[whose] != 0) seen.looked_at.emplace_back(figure, alike_.says(vehicle, figure));
    }
    seen_[{procedure, sort}].push_back(std::move(seen));
}

} // namespace benchleaf::fitted
