#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::impossible_when = {
    {"impossible-when", messages::Level::error, "a `when` that holds on no vehicle of the shop"}};

void report_impossible_when(Messages& out, Span at, const std::string& what, const std::string& near, Span near_at) {
    messages::Message& message =
        out.add(checks::impossible_when.rule, at, what,
                near.empty() ? "so this step is never worked" : "did you mean `" + near + "`?");
    if (near_at.known()) message.labels.push_back({near_at, "a vehicle has this"});
    if (near.empty()) {
        message.help = "a vehicle says what it has under `has`";
    } else {
        message.help = "write `" + near + "`";
    }
}

} // namespace benchleaf::fitted
