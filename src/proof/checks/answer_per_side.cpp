#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check answer_per_side{
    {"answer-per-side", messages::Level::error, "a step worked once rests on an answer that was given side by side"},
    When::machine,
    std::nullopt,
    nullptr};

} // namespace benchleaf::proof::checks
