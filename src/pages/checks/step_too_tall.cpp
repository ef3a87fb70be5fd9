#include "pages/check.h"

namespace benchleaf::pages {

const Check checks::step_too_tall = {
    {"step-too-tall", messages::Level::error, "a step that is taller than a page, where it may not be split"}};

} // namespace benchleaf::pages
