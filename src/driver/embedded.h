// Texts that are part of the program: the page of each check, as `explain` prints it, and the starting files of `new`. The table
// is made from docs/checks/*.md and driver/starters/*.yaml when the program is built (embed.py).
#pragma once

#include <span>
#include <string_view>

namespace benchleaf::driver {

struct Embedded {
    std::string_view name; // the file's stem: "left-loose", "procedure"
    std::string_view text;
};

std::span<const Embedded> pages_of_checks(); // by name
std::span<const Embedded> starters();

std::string_view version(); // "0.1.0"

} // namespace benchleaf::driver
