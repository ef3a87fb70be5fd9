#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check waits_add_up{{"waits-add-up", messages::Level::error,
                                 "the waits since thread-locker was put on come to more than it takes to set"},
                                When::machine,
                                std::nullopt,
                                nullptr};

} // namespace benchleaf::proof::checks
