// Of which files somebody asked, and what is said to him.
#pragma once

#include "driver/pipeline.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::driver {

// Is the path the root, or in it? An empty root holds all.
bool lies_below(std::string_view path, std::string_view root);

// The files that the paths name; none given: all of them.
std::vector<source::FileId> roots_of(const source::Sources& sources, const std::vector<std::string>& paths);

// Errors in what the roots need are shown as well, for they stop what was asked for; warnings only of the roots themselves.
messages::Messages shown_of(const Shopful& shop, const std::vector<source::FileId>& roots);

} // namespace benchleaf::driver
