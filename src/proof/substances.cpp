#include "proof/substances.h"

#include <algorithm>

namespace benchleaf::proof {

namespace {

using linked::ConsumableId;
using linked::ItemId;

bool makes_dust(const linked::Item& item) {
    if (item.part.system && item.part.system->value == model::System::brake) return true;
    if (!item.part.surfaces) return false;
    const auto& surfaces = item.part.surfaces->value;
    return std::any_of(surfaces.begin(), surfaces.end(),
                       [](const auto& surface) { return surface.value.value == model::Surface::friction; });
}

// What has brake dust on it gives it to what sits inside, behind it or holds it.
std::vector<char> find_dusty(const fitted::Fit& fit) {
    std::vector<char> dusty(fit.items.size(), 0);
    std::vector<ItemId> open;
    const auto add = [&](ItemId id) {
        if (!id.known() || !fit.items.unnoted(id.index()).present || dusty[id.index()] != 0) return;
        const linked::Sort sort = fit.items.unnoted(id.index()).is.sort;
        if (sort != linked::Sort::part && sort != linked::Sort::fastener && sort != linked::Sort::clip) return;
        dusty[id.index()] = 1;
        open.push_back(id);
    };
    for (std::size_t i = 0; i < fit.items.size(); ++i)
        if (makes_dust(fit.items.unnoted(i).is)) add(ItemId(i));
    while (!open.empty()) {
        const linked::Item& item = fit.items.unnoted(open.back().index()).is;
        open.pop_back();
        for (const ItemId covered : item.covers) add(covered);
        for (const ItemId holder : item.held_by) add(holder);
    }
    return dusty;
}

} // namespace

Substances::Substances(const linked::Linked& linked, const fitted::Fit& fit)
    : linked_(linked), bits_(linked.consumables.size(), 0), enemies_(linked.consumables.size(), 0),
      dusty_(find_dusty(fit)) {
    std::vector<std::pair<ConsumableId, ConsumableId>> pairs;
    std::vector<char> followed(linked.consumables.size(), 0);
    for (std::size_t i = 0; i < linked.consumables.size(); ++i) {
        if (flammable(ConsumableId(i))) {
            followed[i] = 1;
            burning_.emplace_back(i);
        }
        for (const linked::Consumable::Enemy& enemy : linked.consumables[i].never_mix_with) {
            followed[i] = followed[enemy.consumable.index()] = 1;
            pairs.emplace_back(ConsumableId(i), enemy.consumable);
        }
    }
    // Beyond the most that can be told apart they share a bit: that finds too much, and never too little.
    unsigned next = 1;
    for (std::size_t i = 0; i < bits_.size(); ++i)
        if (followed[i] != 0) bits_[i] = std::uint64_t{1} << std::min(next++, 63U);
    for (const auto& [one, other] : pairs) {
        enemies_[one.index()] |= bit(other);
        enemies_[other.index()] |= bit(one);
    }
}

std::uint64_t Substances::bit(ConsumableId consumable) const {
    return consumable.known() ? bits_[consumable.index()] : 0;
}

std::uint64_t Substances::enemies(ConsumableId consumable) const {
    return consumable.known() ? enemies_[consumable.index()] : 0;
}

bool Substances::flammable(ConsumableId consumable) const {
    if (!consumable.known()) return false;
    const auto& burns = linked_.consumables[consumable.index()].figures.flammable;
    return burns && burns->value;
}

bool Substances::wets(ConsumableId consumable) const {
    if (!consumable.known()) return false;
    const auto& wets = linked_.consumables[consumable.index()].figures.wets;
    return wets && wets->value;
}

std::uint64_t Substances::cleared_by(const units::Quantity& time) const {
    std::uint64_t kept = 0;
    std::uint64_t gone = 0;
    for (const ConsumableId each : burning_) {
        const auto& clears = linked_.consumables[each.index()].figures.clears_in;
        const bool clear = clears && units::compare(clears->value.quantity, time) <= 0;
        (clear ? gone : kept) |= bits_[each.index()];
    }
    return gone & ~kept;
}

std::vector<ConsumableId> Substances::named(std::uint64_t bits) const {
    std::vector<ConsumableId> all;
    for (std::size_t i = 0; i < bits_.size(); ++i)
        if ((bits_[i] & bits) != 0) all.emplace_back(i);
    return all;
}

source::Span Substances::said(ConsumableId one, ConsumableId other) const {
    for (const auto& [of, with] : {std::pair(one, other), std::pair(other, one)})
        for (const linked::Consumable::Enemy& enemy : linked_.consumables[of.index()].never_mix_with)
            if (enemy.consumable == with) return enemy.span;
    return {};
}

} // namespace benchleaf::proof
