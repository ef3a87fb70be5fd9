// The order in which a ring of fasteners is tightened.
#pragma once

#include "units/quantity.h"

#include <vector>

namespace benchleaf::mechanics {

inline constexpr int most_in_a_ring = 24;

// The places of the ring, numbered from 1 clockwise as one looks at it, in the order of tightening; each once. Empty
// for a count below 1 or above `most_in_a_ring`. Multiples of four: the legacy cross pattern of ASME PCC-1 (8: 1 5 3 7
// 2 6 4 8). Other even counts: opposite pairs, each pair far from the last (6: 1 4 2 5 3 6), odd counts: always to the
// place nearest opposite (5: 1 3 5 2 4); both common practice.
std::vector<int> tightening_order(int count);

// The torque of each round, the last in full: of two 50 %, of three 30 % and 70 % (ASME PCC-1: 20 to 30 %, then 50 to 70 %, then all; from memory), of more
// in even steps (common practice). To two significant figures; `rounds` at least 1.
std::vector<units::Quantity> round_torques(const units::Quantity& torque, int rounds);

} // namespace benchleaf::mechanics
