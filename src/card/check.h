// A check that can only be made while a card is made: whether the shop has what the work takes, and whether the work goes on paper. Each
// lives in checks/ in a file of its own, with its level, wording and logic; build.cpp calls them (found.h). The table of all
// is made by the build.
#pragma once

#include "messages/message.h"

#include <span>

namespace benchleaf::card {

struct Check {
    messages::Rule rule;
};

std::span<const Check* const> all_checks();

} // namespace benchleaf::card
