// PNG (ISO/IEC 15948). Internal to pictures/, and the only file of it that sees libpng is png.cpp.
#pragma once

#include "pictures/pictures.h"

namespace benchleaf::pictures {

inline constexpr std::string_view png_signature = "\x89PNG\r\n\x1A\n";

std::variant<Picture, Refused> read_png(std::string_view bytes);

} // namespace benchleaf::pictures
