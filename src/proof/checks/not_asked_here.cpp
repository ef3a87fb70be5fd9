#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check not_asked_here{
    {"not-asked-here", messages::Level::error, "a step rests on an answer to a question that is not asked here"},
    When::machine,
    std::nullopt,
    nullptr};

} // namespace benchleaf::proof::checks
