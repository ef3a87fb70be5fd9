// The figures that the program draws on a card. Each is one box; nothing in it means anything by colour.
#pragma once

#include "pages/parts.h"

namespace benchleaf::pages {

// Fasteners in a ring as one looks at them, the first at the top, each with its number in the order of tightening, joined by the way from one to the next.
// `order`: the places, numbered clockwise from 1, in that order. Nothing for fewer than three.
Piece ring_of_fasteners(Making& in, const std::vector<int>& order);

// How far a part may wear: black up to its limit, hatched up to the keep figure, white up to the size when new; what is expected this time over it.
Piece wear_bar(Making& in, const card::WearBar& wear, Length width);

// The vehicle from above, its front at the top: black the wheels at which the card is worked, with the heads of their columns.
Piece wheel_map(Making& in, const std::vector<card::Axle>& axles, Length tall);

} // namespace benchleaf::pages
