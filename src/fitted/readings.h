// Decisions that rest on a reading nobody has taken. Internal to fitted/.
#pragma once

#include "fitted/fitted.h"

#include <functional>
#include <vector>

namespace benchleaf::fitted {

struct Unmeasured {
    const LimitUse* use;            // of the question or repeat
    std::vector<AxisValue> lacking; // values of the item's axis; empty: it was not read at all
};

void find_unmeasured(const Fit& fit, const std::function<void(const Unmeasured&)>& report);

} // namespace benchleaf::fitted
