// The lists that stand before the work. Private to card/.
#pragma once

#include "card/rows.h"
#include "card/tally.h"

namespace benchleaf::card {

Before make_before(const Speaker& speaker, const Unfolded& unfolded, const MadeRows& rows);

// All that the work takes.
Tally tally(const Speaker& speaker, const Unfolded& unfolded);

} // namespace benchleaf::card
