#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check reused_once_slackened{
    {"reused-once-slackened", messages::Level::error, "what is only fit for one tightening is tightened a second time"},
    When::machine,
    std::nullopt,
    nullptr};

} // namespace benchleaf::proof::checks
