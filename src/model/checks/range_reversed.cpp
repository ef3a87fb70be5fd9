#include "model/reports.h"

namespace benchleaf::model {

const Check checks::range_reversed = {
    {"range-reversed", messages::Level::error, "a range whose lower end is above its upper end"}};

} // namespace benchleaf::model
