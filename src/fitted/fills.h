// What is filled into a circuit, and how much, whether that is said at all, and whether its air is let out afterwards. Internal to fitted/.
#pragma once

#include "fitted/fitted.h"

#include <functional>

namespace benchleaf::fitted {

// All that is filled into a circuit, against what it holds. From ten times that on, or a five-hundredth of it, it is a slip of the unit.
struct Filled {
    const Row* row; // the first that fills it, or the one by which it is too much
    ItemId circuit;
    bool too_much;
    bool absurd;
};

// More than any circuit of a small vehicle holds, 100 L, or less than any of its sort: figures of common practice.
struct Vast {
    ItemId circuit;
    const Row* row; // by what fills it; null: by what it is said to hold
};

// A circuit is filled that has a vent, and its sort asks for no bleeding.
struct Unbled {
    const Target* filled;
    ItemId vent;
};

// A circuit is filled with nobody knows how much; not a hydraulic one, which is filled to its mark.
struct Unsaid {
    const Target* filled;
};

// A circuit is filled, bled or topped up with nobody knows what.
struct Unnamed {
    const Target* at; // what is filled, bled or levelled
    ItemId circuit;
};

struct SeeFills {
    std::function<void(const Filled&)> filled;
    std::function<void(const Vast&)> vast;
    std::function<void(const Unbled&)> unbled;
    std::function<void(const Unsaid&)> unsaid;
    std::function<void(const Unnamed&)> unnamed;
};

// What each circuit is said to hold.
void judge_holdings(const Fit& fit, const std::function<void(const Vast&)>& vast);

// Each procedure by itself, with those that it calls for the bleeding.
void judge_fills(const Fit& fit, const SeeFills& see);

} // namespace benchleaf::fitted
