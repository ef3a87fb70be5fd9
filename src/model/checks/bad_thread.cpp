#include "model/reports.h"

namespace benchleaf::model {

const Check checks::bad_thread = {{"bad-thread", messages::Level::error, "a thread designation that no thread has"}};

} // namespace benchleaf::model
