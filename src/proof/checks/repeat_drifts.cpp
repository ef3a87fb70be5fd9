#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check repeat_drifts{
    {"repeat-drifts", messages::Level::error, "a repeat does not leave things where it found them"},
    When::machine,
    std::nullopt,
    nullptr};

} // namespace benchleaf::proof::checks
