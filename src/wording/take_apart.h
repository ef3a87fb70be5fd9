// Linked → Wording, and what is worded badly. It always gives a value.
#pragma once

#include "messages/message.h"
#include "wording/wording.h"

#include <string>

namespace benchleaf::wording {

Wording take_apart(const linked::Linked& linked, const source::Sources& sources, messages::Messages& messages);

// One text a line, its words parted by bars, for people and tests.
std::string dump(const Wording& wording);

} // namespace benchleaf::wording
