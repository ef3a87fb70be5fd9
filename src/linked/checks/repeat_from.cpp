#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::repeat_from = {
    {"repeat-from", messages::Level::error, "a repeat that does not begin at an earlier step of its own list"}};

void report_repeat_from(Messages& out, Span at, const std::string& id, Span step, bool later) {
    messages::Message& message =
        out.add(checks::repeat_from.rule, at,
                later ? "the repeat would begin at `" + id + "`, which comes after it"
                      : "the repeat would begin at `" + id + "`, which is in another list of steps",
                "goes back to here?");
    message.labels.push_back({step, "this step is `" + id + "`"});
    message.help = "`from` names an earlier step of the same list, in the same section";
}

} // namespace benchleaf::linked
