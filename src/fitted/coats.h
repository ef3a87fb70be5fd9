// What lies on the threads when they are tightened, against what their torque was given for. Internal to fitted/.
#pragma once

#include "fitted/fitted.h"

#include <functional>

namespace benchleaf::fitted {

// Something that makes threads slide goes onto a fastener, whose torque further down is for dry threads.
struct Coated {
    const Target* on;     // of the apply
    const Target* torque; // of the torque
    linked::ConsumableId with;
};

// A fastener is cleaned with what takes grease off, or goes in anew, and its torque further down is for threads that have some.
struct Bare {
    const Target* cleaned; // null: nobody cleaned it
    const Target* torque;
    linked::ConsumableId
        unused; // the one lubricant of the catalogues it sees that no step puts on anything, if there is one
};

// In the order of the rows, each procedure by itself.
void judge_coats(const linked::Linked& linked, const Fit& fit, const std::function<void(const Coated&)>& coated,
                 const std::function<void(const Bare&)>& bare);

} // namespace benchleaf::fitted
