#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::unknown_step = {
    {"unknown-step", messages::Level::error, "an id that no step of the procedure has"}};

void report_unknown_step(Messages& out, Span at, const std::string& id, const std::string& near, Span near_declared,
                         const std::string& meant) {
    messages::Message& message =
        out.add(checks::unknown_step.rule, at, "no step of this procedure has the id `" + id + "`",
                near.empty() ? "" : "did you mean `" + near + "`?");
    if (near.empty()) {
        message.help = meant.empty() ? "give the step that is meant `id: " + id + "`"
                                     : meant + " `id: " + id + "`; or give it to another step, if that is meant";
        return;
    }
    message.labels.push_back({near_declared, "this step is `" + near + "`"});
    message.help = "write `" + near + "`";
    messages::correct_slip(message, at, id, near);
}

} // namespace benchleaf::linked
