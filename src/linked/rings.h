// Items that can only be reached once each other is away: the linkage plate is held by a bolt that is behind the plate.
#pragma once

#include "linked/linked.h"

#include <vector>

namespace benchleaf::linked {

// By ItemId, 1 for each item that comes away in some order.
std::vector<char> come_away(const Linked& linked);

// Takes such items to be free of each other, so that nothing comes of a ring that was told: no step could be right with it.
void cut_rings_of_parts(Linked& linked);

} // namespace benchleaf::linked
