// What every sort of picture is held to. Internal to pictures/.
#pragma once

#include "pictures/pictures.h"

#include <optional>

namespace benchleaf::pictures {

Refused damaged(std::string_view how); // "its data are cut short"

// Asked before anything is unpacked.
std::optional<Refused> out_of_bounds(std::uint64_t width, std::uint64_t height);

} // namespace benchleaf::pictures
