#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check read_too_early{
    {"read-too-early", messages::Level::error, "a decision rests on a reading from before the thing was set and tight"},
    When::machine,
    std::nullopt,
    nullptr};

} // namespace benchleaf::proof::checks
