#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check decided_twice{
    {"decided-twice", messages::Level::error, "a decision is made again from the same readings"},
    When::machine,
    std::nullopt,
    nullptr};

} // namespace benchleaf::proof::checks
