// How much is filled into a circuit, and whether its air is let out afterwards. Internal to fitted/.
#pragma once

#include "fitted/fitted.h"

#include <functional>

namespace benchleaf::fitted {

// All that is filled into a circuit, against what it holds.
struct Filled {
    const Row* row; // the first that fills it, or the one by which it is too much
    ItemId circuit;
    bool too_much;
};

// A circuit is filled that has a vent, and its sort asks for no bleeding.
struct Unbled {
    const Target* filled;
    ItemId vent;
};

// Each procedure by itself, with those that it calls for the bleeding.
void judge_fills(const Fit& fit, const std::function<void(const Filled&)>& filled,
                 const std::function<void(const Unbled&)>& unbled);

} // namespace benchleaf::fitted
