#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check starts_unsaid{{"starts-unsaid", messages::Level::error,
                                  "a procedure works as if it began in the midst of work, and does not say so"},
                                 When::machine,
                                 std::nullopt,
                                 nullptr};

} // namespace benchleaf::proof::checks
