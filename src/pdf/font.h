// A face as a font of a PDF (ISO 32000-1, 9.7): two bytes a character, the character's own number in Unicode. Its file and its
// maps were packed when the program was built (fonts/fonts.h), so that a print does no more than copy them.
#pragma once

#include "fonts/fonts.h"
#include "pdf/objects.h"

#include <cstddef>

namespace benchleaf::pdf {

// The number of the font.
std::size_t add_font(const fonts::Part& part, Objects& objects);

} // namespace benchleaf::pdf
