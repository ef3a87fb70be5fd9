// What earlier visits of the vehicle left open, as the first card of its next job shows it. Private to card/.
#pragma once

#include "card/card.h"
#include "card/wording.h"

namespace benchleaf::card {

// Without lines where nothing is open.
OpenList make_open(const Speaker& speaker);

} // namespace benchleaf::card
