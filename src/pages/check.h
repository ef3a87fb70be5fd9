// What the layout may find wrong with a card: that something cannot be set on paper. A finding is made where the text
// is set or the page is filled, so a check here is its rule alone, in a file of its own under checks/; the table is
// made by the build.
#pragma once

#include "messages/message.h"

#include <span>

namespace benchleaf::pages {

struct Check {
    messages::Rule rule;
};

std::span<const Check* const> all_checks();

namespace checks {
extern const Check no_glyph;
extern const Check step_too_tall;
} // namespace checks

} // namespace benchleaf::pages
