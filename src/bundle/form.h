// What the text of a bundle is made of, for whoever writes one and whoever reads it.
#pragma once

#include <string_view>

namespace benchleaf::bundle {

// The first line: what the files are.
inline constexpr std::string_view of_a_card = "# The files that a card was made of, byte for byte.";
inline constexpr std::string_view handed_over = "# Procedures handed over, with all that they need, byte for byte.";
inline constexpr std::string_view version = "1";
inline constexpr std::string_view indent = "      "; // of each line of a text or picture

} // namespace benchleaf::bundle
