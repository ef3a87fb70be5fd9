// Lines of text by the cells that they take on a terminal (utf8proc) and the places where they may break (libunibreak, UAX #14).
// Private to text/.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::text {

std::size_t cells(std::string_view text);

// Lines of at most `width` cells, at least one; a word that is longer is cut between code points. No-break spaces keep together what
// they join and come out as plain ones, a line feed breaks, control characters come out as `?`.
std::vector<std::string> wrap(std::string_view text, std::size_t width, std::string_view language);

std::string padded(std::string text, std::size_t width);      // with spaces behind
std::string padded_left(std::string text, std::size_t width); // with spaces before
std::string repeated(std::string_view part, std::size_t times);

} // namespace benchleaf::text
