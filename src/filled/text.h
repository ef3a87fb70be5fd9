// What was typed, as it is judged and compared. Internal to filled/; knows nothing of PDF.
#pragma once

#include <string>
#include <string_view>

namespace benchleaf::filled {

// Valid UTF-8 as text on one line: blanks at the ends are gone, of every width; line breaks, tabs and control characters, with the spaces
// round them, are one space. Marks of a language (ISO 32000-1, 7.9.2.2: between two ESC) are no text.
std::string one_line(std::string_view utf8);

// For a message: at most forty characters of it.
std::string clipped(std::string_view utf8);

} // namespace benchleaf::filled
