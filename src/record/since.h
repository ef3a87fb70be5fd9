// What cards that are made now say otherwise than the ones that were printed, as a mechanic would say it: "step 35: lower guide bolt 23 N·m → 25 N·m".
#pragma once

#include "record/asks.h"

#include <string>
#include <vector>

namespace benchleaf::record {

// By card of the printed ones; empty where nothing changed.
std::vector<std::vector<std::string>> changed_since(const Sheet& printed, const Sheet& now);

} // namespace benchleaf::record
