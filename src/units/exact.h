// Exact products for units/read.cpp. Private to units/.
#pragma once

#include "units/quantity.h"

namespace benchleaf::units {

// quantity · digits / 10^decimals (decimals 0..18); nullopt when that does not fit. Drops `relative`.
std::optional<Quantity> times(const Quantity& quantity, std::int64_t digits, int decimals);

// The sum of the numbers of two quantities in one unit: also of a temperature and a difference of temperatures, which
// `add` refuses.
std::optional<Quantity> add_numbers(const Quantity& a, const Quantity& b);

} // namespace benchleaf::units
