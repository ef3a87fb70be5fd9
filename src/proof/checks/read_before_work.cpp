#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check read_before_work{{"read-before-work", messages::Level::error,
                                     "a decision rests on a reading from before the last work on the thing"},
                                    When::machine,
                                    std::nullopt,
                                    nullptr};

} // namespace benchleaf::proof::checks
