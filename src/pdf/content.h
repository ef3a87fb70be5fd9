// The drawing operators of one page (ISO 32000-1, 8 and 9), as the text of its content stream. Written here and not with
// libharu's page functions, because those hold lengths as float, dashes as whole points, and check their state at each call;
// here a position of 1/1000 pt stays exactly that.
#pragma once

#include "pages/pages.h"
#include "pdf/encodings.h"

#include <array>
#include <map>
#include <string>
#include <vector>

namespace benchleaf::pdf {

// The name that a page's resources give to the font of a face and an encoding: names[face][encoding], "F1".
using FontNames = std::array<std::vector<std::string>, fonts::face_count>;

// Likewise of each picture of the page, "I12".
using ImageNames = std::map<const pages::Image*, std::string>;

// The page must have passed `encode`.
std::string content(const pages::Page& page, pages::Size size, const Encodings& encodings, const FontNames& names,
                    const ImageNames& images);

} // namespace benchleaf::pdf
