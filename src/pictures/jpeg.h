// JPEG (ITU-T T.81). Internal to pictures/, and the only file of it that sees libjpeg is jpeg.cpp.
#pragma once

#include "pictures/pictures.h"

namespace benchleaf::pictures {

inline constexpr std::string_view jpeg_signature = "\xFF\xD8\xFF";

std::variant<Picture, Refused> read_jpeg(std::string_view bytes);
std::string written_jpeg(const Raster& raster);

// How a camera says that a picture is to be held (Exif 2.3, Orientation), from the contents of the marker APP1; 1 where it says nothing.
int orientation_in(std::string_view app1);

} // namespace benchleaf::pictures
