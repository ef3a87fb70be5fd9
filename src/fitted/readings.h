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

// A decision by what was looked at on some values of the item's axis only.
struct HalfLooked {
    const Row* row;  // that decides
    const Row* look; // the last by which it does
    ItemId item;
    std::vector<AxisValue> lacking;
};

void judge_readings(const Fit& fit, const std::function<void(const Unmeasured&)>& unmeasured,
                    const std::function<void(const Lone&)>& undecided,
                    const std::function<void(const Lone&)>& undiffering,
                    const std::function<void(const HalfLooked&)>& half_looked);

// The one limit that a round reads in its own steps and does not decide by, where it decides by none that it reads. Not known: there is none.
linked::LimitId read_instead(const Row& repeat);

} // namespace benchleaf::fitted
