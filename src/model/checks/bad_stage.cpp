#include "model/reports.h"

namespace benchleaf::model {

const Check checks::bad_stage = {
    {"bad-stage", messages::Level::error, "a stage of tightening that makes no sense where it stands"}};

} // namespace benchleaf::model
