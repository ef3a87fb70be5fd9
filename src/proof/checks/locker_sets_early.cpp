#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check locker_sets_early{
    {"locker-sets-early", messages::Level::error, "thread-locker sets before the fastener is tightened"},
    When::machine,
    std::nullopt,
    nullptr};

} // namespace benchleaf::proof::checks
