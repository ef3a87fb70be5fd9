#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::preload_unusual = {
    {"preload-unusual", messages::Level::note, "a torque with a source that loads its thread unusually high or low"}};

} // namespace benchleaf::fitted
