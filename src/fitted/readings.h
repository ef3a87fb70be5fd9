// Decisions that rest on a reading nobody has taken, and readings that nothing decides by. Internal to fitted/.
#pragma once

#include "fitted/fitted.h"

#include <functional>
#include <vector>

namespace benchleaf::fitted {

struct Unmeasured {
    ProcedureIndex in;
    const Row* row;                 // the question or repeat
    const LimitUse* use;            // of it
    std::vector<AxisValue> lacking; // values of the item's axis; empty: it was not read at all
};

// A reading by which nothing decides on some values of the item's axis, while on others something does; or one that is taken on one value alone,
// of a limit that is a difference.
struct Lone {
    const LimitUse* use; // of the measure
    std::vector<AxisValue> values;
};

void judge_readings(const Fit& fit, const std::function<void(const Unmeasured&)>& unmeasured,
                    const std::function<void(const Lone&)>& undecided,
                    const std::function<void(const Lone&)>& undiffering);

// The one limit that a round reads in its own steps and does not decide by, where it decides by none that it reads. Not known: there is none.
linked::LimitId read_instead(const Row& repeat);

} // namespace benchleaf::fitted
