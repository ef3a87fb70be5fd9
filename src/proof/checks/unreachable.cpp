#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check unreachable{
    {"unreachable", messages::Level::error, "no way leads to a step"}, When::machine, std::nullopt, nullptr};

} // namespace benchleaf::proof::checks
