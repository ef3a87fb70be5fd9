// What units/read.cpp shares with units/tightening.cpp and units/thread.cpp. Private to units/.
#pragma once

#include "units/quantity.h"

namespace benchleaf::units {

inline constexpr std::string_view bad_number = "bad-number";
inline constexpr std::string_view bad_stage = "bad-stage";
inline constexpr std::string_view bad_thread = "bad-thread";
inline constexpr std::string_view decimal_comma = "decimal-comma";
inline constexpr std::string_view quantity_without_unit = "quantity-without-unit";
inline constexpr std::string_view range_reversed = "range-reversed";
inline constexpr std::string_view tolerance_absurd = "tolerance-absurd";
inline constexpr std::string_view unknown_unit = "unknown-unit";
inline constexpr std::string_view wrong_dimension = "wrong-dimension";

// The text in backticks, fit to be shown: cut when long, bytes that are no UTF-8 or no print replaced by U+FFFD.
std::string quoted(std::string_view text);

// Bytes of a space (plain, U+00A0, U+202F, U+2009) at the start of the text; 0 when there is none.
std::size_t leading_space(std::string_view text);
// [begin, end) without the spaces at both ends.
struct Bounds {
    std::size_t begin = 0;
    std::size_t end = 0;
};
Bounds trimmed(std::string_view text, Bounds bounds);

// parse_figure on a part of a text; the error points into the whole text.
Parsed<Figure> parse_figure_within(std::string_view text, Bounds bounds, Wanted wanted);

} // namespace benchleaf::units
