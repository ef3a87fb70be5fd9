// The JSON Schema (draft-07) of one kind of file, for editors that complete and check as one types. It is a fold over
// the declared keys and verbs, and describes what the reader takes; what a key goes with stands in its description.
#pragma once

#include "model/kind.h"

#include <string>

namespace benchleaf::model {

std::string schema(Kind kind);

} // namespace benchleaf::model
