// Pixels, and what is done to them. Internal to pictures/.
#pragma once

#include "pictures/pictures.h"

namespace benchleaf::pictures {

// With at most so many pixels each way, its shape kept; each new pixel is the mean of those that it covers. Never larger than it was.
Raster scaled_down(const Raster& from, std::uint32_t most_width, std::uint32_t most_height);

// As a camera's note says that it is to be held (Exif, Orientation: 1 to 8).
Raster turned(const Raster& from, int orientation);

// One channel where all three say the same.
Raster without_colour(Raster from);

} // namespace benchleaf::pictures
