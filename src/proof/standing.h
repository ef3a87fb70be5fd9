// How one instance of an item stands: its place, what it owes and what is on it, with the rows that left it so (for messages only: two standings that differ
// in nothing else are the same to the proof).
#pragma once

#include "fitted/fitted.h"
#include "model/verbs.h"

#include <cstdint>

namespace benchleaf::proof {

// A place that is not known: ways disagreed about it, and that was reported.
inline constexpr linked::Place unknown_place = 255;

// Debts are the bits of model::Debt; above them, of an adjustment, one bit for each reading that has yet to prove it (a limit on each side of what it
// is of; those beyond the last bit share it), and of a circuit one for each vent at which it has to be bled.
inline constexpr unsigned first_proof_bit = 14;
inline constexpr unsigned most_proofs = 64 - first_proof_bit;
inline constexpr std::uint64_t proof_bits = ~std::uint64_t{0} << first_proof_bit;
static_assert(first_proof_bit == model::debt_count);
inline constexpr unsigned first_vent_bit = 18;
inline constexpr unsigned most_vents = 46;
inline constexpr std::uint64_t vent_bits = ~std::uint64_t{0} << first_vent_bit;
// Bleeding that is owed by a circuit which has no vent; shared with the vents beyond the last bit.
inline constexpr std::uint64_t no_vent_bit = std::uint64_t{1} << 63;
// What is no debt. A fact is joined like one, so each is worded for the case that it holds on some way only.
inline constexpr std::uint64_t fact_bits = model::bit(model::Debt::locker_set) | model::bit(model::Debt::as_it_came);

// What lies on an item, or hangs in the air: dry brake dust, and above it a bit for each consumable that proof/substances.h numbers.
inline constexpr std::uint64_t dry_dust = 1;
// Of a decision, in the same word: on some way something was read since it was made.
inline constexpr std::uint64_t read_since = 1;
// Of a setting that may rest anywhere, likewise: on some way nobody has set it, nor said how it stands.
inline constexpr std::uint64_t anywhere = 1;
// Of a circuit, likewise: on some way its fluid has not had its time to settle since it was filled or went round.
inline constexpr std::uint64_t unsettled = 1;
// Likewise: on some way the fluid that it came with, or was filled with, has not been let out since. What is only slackened lets none out.
inline constexpr std::uint64_t still_in = 2;

// Of a thread, whose word above keeps for how many seconds its wet thread-locker has waited: it was slackened, and not off since.
inline constexpr std::uint64_t slackened_since = 1;

struct Standing {
    linked::Place place = 0;
    std::uint64_t bits = 0;                // debts and facts
    std::uint64_t on = 0;                  // what is on it
    const fitted::Row* placed = nullptr;   // the row that brought it to its place; null: it came so
    const fitted::Row* indebted = nullptr; // the row that made the last debt
    const fitted::Row* coated =
        nullptr; // the row that put something on it last; of a decision, that made it; of an adjustment, that read it too early; of a circuit, that stirred it

    std::uint64_t debts() const { return bits & ~fact_bits; }
    // What has to be done to it here and now; what is renewed together may be renewed one after the other.
    std::uint64_t unfinished() const { return debts() & ~model::bit(model::Debt::renew); }
    bool owes(model::Debt debt) const {
        return debt == model::Debt::bleed ? (bits & vent_bits) != 0 : (bits & model::bit(debt)) != 0;
    }
    bool place_known() const { return place != unknown_place; }
    bool away() const { return !place_known() || place != 0; } // an unknown place is stepped over
    // Of a fastener with thread-locker. It sets where it is shut off from the air, in the hole: common practice.
    bool locker_is_wet() const {
        return place_known() && place < 3 && !owes(model::Debt::locker) &&
               (bits & model::bit(model::Debt::locker_set)) == 0;
    }
    bool is_anywhere() const { return !place_known() && on == anywhere; } // of a setting
    bool in(linked::Place where) const { return !place_known() || place == where; }
    bool same_state(const Standing& other) const {
        return place == other.place && bits == other.bits && on == other.on;
    }
    bool operator==(const Standing&) const = default;
};

} // namespace benchleaf::proof
