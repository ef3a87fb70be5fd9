// One thing laid over another: every key that `difference` gives takes the place of the base's. That is how a vehicle's
// or a job's own figures stand before those of the catalogue.
#pragma once

#include "model/model.h"

namespace benchleaf::model {

// For Part, Fastener, Circuit, Setting, Adjustment, Torque, Limit, Consumable and Tool.
template <class T>
void lay_over(T& base, const T& difference);

// Do two models say the same, wherever it is written? Spans are not compared, and neither is the order of files.
bool same(const Model& a, const Model& b);

} // namespace benchleaf::model
