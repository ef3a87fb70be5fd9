// A check on wording: how a text that a mechanic reads is put. A badly worded step may still be right and gets a warning; an error is
// only what orders another thing than its step does. Each lives in checks/ in a file of its own, with its rule, its logic and its
// wording; its page names the published rule that it follows. The table of all is made by the build.
#pragma once

#include "messages/message.h"
#include "wording/wording.h"

#include <span>

namespace benchleaf::wording {

struct Check {
    messages::Rule rule;
    void (*find)(const Wording& wording, const Check& self, messages::Messages& out) = nullptr;
};

std::span<const Check* const> all_checks();

} // namespace benchleaf::wording
