#include "pages/check.h"

namespace benchleaf::pages {

const Check checks::no_glyph = {
    {"no-glyph", messages::Level::error, "a text with a letter or sign that the card's fonts cannot print right"}};

} // namespace benchleaf::pages
