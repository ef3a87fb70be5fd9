#include "proof/check.h"

namespace benchleaf::proof::checks {

extern const Check other_vent_open{{"other-vent-open", messages::Level::error,
                                    "a circuit is filled, or bled at one vent, while another of its vents stands open"},
                                   When::machine,
                                   std::nullopt,
                                   nullptr};

} // namespace benchleaf::proof::checks
