// A check over what was filled in on cards: what is missing, cannot be so or contradicts. Each lives in checks/ in a file of its own, with its level and
// wording (reports.h); look_over.cpp and judge.cpp call them where they find it. The table of all is made by the build.
#pragma once

#include "messages/message.h"

#include <span>

namespace benchleaf::record {

struct Check {
    messages::Rule rule;
};

std::span<const Check* const> all_checks();

} // namespace benchleaf::record
