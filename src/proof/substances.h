// What the proof knows of substances before it walks a row: which consumables it has to follow, each with a bit of `Standing::on`;
// which of them must never meet; how long a vapour takes to clear; and which items carry brake dust.
//
// Brake dust lies on a part of the brake system and on one with a friction surface, on what sits inside such a part, on what such a
// part must be away for, and on what holds one. (29 CFR 1910.1001 Appendix F speaks of brakes and clutches in the same breath.)
#pragma once

#include "fitted/fitted.h"

#include <cstdint>
#include <vector>

namespace benchleaf::proof {

class Substances {
public:
    Substances(const linked::Linked& linked, const fitted::Fit& fit);

    // Zero for one that nothing has to be known of.
    std::uint64_t bit(linked::ConsumableId consumable) const;
    // Of those that must not meet it, whoever of the two says so.
    std::uint64_t enemies(linked::ConsumableId consumable) const;
    bool flammable(linked::ConsumableId consumable) const;
    bool wets(linked::ConsumableId consumable) const;
    // Those whose vapour is gone after this time, and after any shorter one that does for them.
    std::uint64_t cleared_by(const units::Quantity& time) const;
    // Those that the bits stand for, in their order.
    std::vector<linked::ConsumableId> named(std::uint64_t bits) const;
    // Where one of two says that they must not meet; unknown if neither does.
    source::Span said(linked::ConsumableId one, linked::ConsumableId other) const;

    bool dusty(linked::ItemId item) const { return dusty_[item.index()] != 0; }

private:
    const linked::Linked& linked_;
    std::vector<std::uint64_t> bits_;           // by consumable
    std::vector<std::uint64_t> enemies_;        // by consumable
    std::vector<linked::ConsumableId> burning_; // those that burn
    std::vector<char> dusty_;                   // by item
};

} // namespace benchleaf::proof
