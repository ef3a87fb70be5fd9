// Cautions place themselves: each is printed before the first row that touches what it warns of, on every way through the work.
//
// A row that both ways of a question lead to needs it before the question; where only one way touches it, it stands inside that way,
// and again later unless every way that comes so far has passed it. So a printed caution always dominates (in the sense of flow
// graphs) the rows it is for, and none is printed twice on one way, except after a question that can be told no better.
#pragma once

#include "card/unfold.h"

#include <functional>
#include <set>

namespace benchleaf::card {

// What one row touches, by itself: cautions of its items, tools, consumables and settings, and those named on it.
using Touches = std::function<std::vector<linked::CautionId>(const Node&)>;

// Fills `cautions` of every node. `printed` are those at the head of the card.
void place_cautions(Nodes& rows, const Touches& touches, std::set<linked::CautionId> printed);

} // namespace benchleaf::card
