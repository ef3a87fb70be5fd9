#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::setting_without_states = {
    {"setting-without-states", messages::Level::error, "a setting that has fewer than two states"}};

void report_setting_without_states(Messages& out, Span at, const std::string& name) {
    out.add(checks::setting_without_states.rule, at, "the setting `" + name + "` has fewer than two states",
            "there is nothing to set")
        .help = "give the state in which it leaves the shop first: `states: [closed, open]`";
}

} // namespace benchleaf::linked
