// A check that the reader of the model makes while it reads: what a key may hold, which keys stand together, how a file
// is named. Each lives in checks/ in a file of its own, with its level and its wording; the reader calls the wording
// (wording.h) where it finds the mistake. The table of all is made by the build.
#pragma once

#include "messages/message.h"

#include <span>

namespace benchleaf::model {

struct Check {
    messages::Rule rule;
};

std::span<const Check* const> all_checks();

} // namespace benchleaf::model
