// Of a fastener that goes in, or is tightened: the parts that it holds are in their places.
#pragma once

#include "proof/check.h"

namespace benchleaf::proof {

// Tells each that is off, or at a place for which the fastener has to be out: `says` words it ("{item} is fitted{sides} while the lid that it
// holds is off") of the part's name and place.
using SayHeld = std::function<std::string(std::string_view part, const std::string& place)>;
void tell_not_held(Moment& now, const Check& self, const SayHeld& says);

} // namespace benchleaf::proof
