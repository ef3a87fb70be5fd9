#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check read_undecided{
    {"read-undecided", messages::Level::error, "what is read after the last work is held against its limit by nobody"},
    When::machine,
    std::nullopt,
    nullptr};

} // namespace benchleaf::proof::checks
