#include "model/reports.h"

namespace benchleaf::model {

const Check checks::tolerance_absurd = {
    {"tolerance-absurd", messages::Level::error, "a torque or an angle that may lie almost anywhere"}};

} // namespace benchleaf::model
