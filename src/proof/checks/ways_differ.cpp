#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check ways_differ{
    {"ways-differ", messages::Level::error, "the two ways of a question leave something in different places"},
    When::machine,
    std::nullopt,
    nullptr};

} // namespace benchleaf::proof::checks
