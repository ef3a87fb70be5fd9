#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check decided_before_work{
    {"decided-before-work", messages::Level::warning, "what was decided is set anew afterwards, and not read again"},
    When::machine,
    std::nullopt,
    nullptr};

} // namespace benchleaf::proof::checks
