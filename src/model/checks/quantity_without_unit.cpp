#include "model/reports.h"

namespace benchleaf::model {

const Check checks::quantity_without_unit = {
    {"quantity-without-unit", messages::Level::error, "a number that has no unit"}};

} // namespace benchleaf::model
