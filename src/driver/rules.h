// Every check of every stage, as one list: what `explain` shows, and what the tests hold pages and cases against.
#pragma once

#include "driver/stage.h"
#include "messages/message.h"

#include <string_view>
#include <vector>

namespace benchleaf::driver {

struct StageRule {
    Stage stage;
    const messages::Rule* rule;
};

std::vector<StageRule> all_rules(); // in the order of the stages, then by name

} // namespace benchleaf::driver
