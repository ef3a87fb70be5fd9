// The drawing operators of one page (ISO 32000-1, 8 and 9), as the text of its content stream. Written here and not with
// libharu's page functions, because those hold lengths as float, dashes as whole points, and check their state at each call;
// here a position of 1/1000 pt stays exactly that.
#pragma once

#include "fonts/fonts.h"
#include "pages/pages.h"

#include <map>
#include <string>
#include <string_view>

namespace benchleaf::pdf {

// The name by which a page's resources have to know the font of a face: "R".
std::string_view font_name(fonts::Face face);

// The name that they give to each picture of the page, "I12".
using ImageNames = std::map<const pages::Image*, std::string>;

// The page must have passed `faces_used`.
std::string content(const pages::Page& page, pages::Size size, const ImageNames& images);

} // namespace benchleaf::pdf
