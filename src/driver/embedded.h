// Texts that are part of the program: the page of each check, as `explain` prints it, the starting files of `new`, and what
// `completion` prints for each shell. The tables are made from docs/checks/*.md, driver/starters/*.yaml and driver/completions/*.sh
// when the program is built (embed.py).
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
std::span<const Embedded> completions(); // by the shell

std::string_view version(); // "0.1.0"

} // namespace benchleaf::driver
