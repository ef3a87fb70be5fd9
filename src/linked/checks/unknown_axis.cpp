#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::unknown_axis = {{"unknown-axis", messages::Level::error, "an axis that no vehicle declares"}};

void report_unknown_axis(Messages& out, Span at, const std::string& axis, const std::string& near) {
    messages::Message& message =
        out.add(checks::unknown_axis.rule, at, "no vehicle of this shop has an axis `" + axis + "`",
                near.empty() ? "" : "did you mean `" + near + "`?");
    if (axis == "none" || axis == "no" || axis == "one" || axis == "single") {
        message.help = "leave `each` out where there is one";
    } else if (near.empty()) {
        message.help = "a vehicle that has it says so: `axes: { " + axis + ": [front, rear] }`";
    } else {
        message.help = "write `" + near + "`";
        messages::correct_slip(message, at, axis, near);
    }
}

} // namespace benchleaf::linked
