// What the text of a bundle is made of, for whoever writes one and whoever reads it.
#pragma once

#include <string_view>

namespace benchleaf::bundle {

inline constexpr std::string_view comment = "# The files that a card was made of, byte for byte.";
inline constexpr std::string_view version = "1";
inline constexpr std::string_view indent = "      "; // of each line of a text or picture

} // namespace benchleaf::bundle
