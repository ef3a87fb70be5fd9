// What the work takes, added up over its rows: consumables, parts, minutes, each with the least and the most over the ways that it can
// go. A question gives the lesser and the greater of its ways, what only one answer leads to has a least of nothing, and a repeat
// may be worked as often again as it says. Private to card/.
#pragma once

#include "units/quantity.h"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace benchleaf::card {

struct Tally {
    enum class Of : std::uint8_t { consumable, item, time };
    struct Entry {
        Of of = Of::time;
        std::size_t id = 0;
        units::Quantity least;
        units::Quantity most;
        bool summed = false; // of more than one figure that somebody wrote
    };
    std::vector<Entry> entries; // in the order of first use; a thing stands twice when its amounts cannot be added

    void add(Of of, std::size_t id, const units::Quantity& amount); // on every way
    void then(const Tally& next);                                   // this, and after it that
    void perhaps();                                                 // only on some way: the least is nothing
    void up_to_times(std::int64_t times);                           // at least once, at most so often

    const Entry* find(Of of, std::size_t id) const;
};

// Both, in the larger of the two units, so that two drops more do not turn litres into millilitres; nothing where it is not exact.
std::optional<units::Quantity> added(const units::Quantity& a, const units::Quantity& b);

// One or the other.
Tally either(const Tally& a, const Tally& b);

} // namespace benchleaf::card
