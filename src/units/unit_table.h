// The units, one row each, and the spellings that are read. Private to units/.
#pragma once

#include "units/quantity.h"

namespace benchleaf::units {

// A value x of the unit is (x + shift) · numerator / denominator in the base unit of its dimension. The base units are
// N·m, N, mm, °, s, mL, g, Pa, %, °C, r/min, km/h, V, A and Ω; of counted things each is its own.
struct UnitRow {
    Unit unit;
    Dimension dimension;
    std::string_view symbol;
    std::string_view plural; // empty: as the symbol
    std::int64_t numerator;
    std::int64_t denominator;
    int shift;
};

// A spelling in its normal form (`normal_spelling`): one `·` for whatever joins two words.
struct Spelling {
    std::string_view text;
    Unit unit;
};

const UnitRow& row(Unit unit);
std::span<const Spelling> all_spellings();

// Spaces, points, hyphens, stars and the various dots between letters become one `·`; look-alike signs become one sign.
// Empty when the text cannot be a unit: too long, or it starts or ends in a joining sign.
std::string normal_spelling(std::string_view text);

// "a distance on the road", "a torque".
std::string_view says_unit(Unit unit);

// A unit to show in an example.
std::string_view example_of(Wanted wanted);

} // namespace benchleaf::units
