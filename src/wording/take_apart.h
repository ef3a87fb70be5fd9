// Linked → Wording, and what is worded badly. It always gives a value; without `keeps`, one that holds no texts: they were judged some at a
// time, which is all that a check needs.
#pragma once

#include "messages/message.h"
#include "wording/wording.h"

#include <string>

namespace benchleaf::wording {

Wording take_apart(const linked::Linked& linked, const source::Sources& sources, messages::Messages& messages,
                   bool keeps = true);

// One text a line, its words parted by bars, for people and tests.
std::string dump(const Wording& wording);

} // namespace benchleaf::wording
