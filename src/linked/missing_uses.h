// What the files do with a name that no entry has: for the entry that is offered for it.
#pragma once

#include "linked/reports.h"

#include <string_view>

namespace benchleaf::linked {

// Read from the model, for what nothing declares is a hole in all that is linked.
MissingUses uses_of(const model::Model& model, std::string_view name);

} // namespace benchleaf::linked
