#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::not_asked_before = {
    {"not-asked-before", messages::Level::error, "an answer or finding that is not known yet on every way"}};

void report_not_asked_before(Messages& out, Span at, const std::string& id, Span question, bool later,
                             std::string_view done) {
    messages::Message& message =
        out.add(checks::not_asked_before.rule, at,
                later ? "`" + id + "` is " + std::string(done) + " only after this step"
                      : "`" + id + "` is not " + std::string(done) + " on every way that leads here",
                "not known here");
    message.labels.push_back(
        {question, later ? std::string(done) + " here, later" : std::string(done) + " here, on one way only"});
    message.help = !later                ? "move the step `" + id + "` out of its branch, or this one into it"
                   : done == "inspected" ? "move the step `" + id + "` before this one"
                                         : "move this step behind it";
}

} // namespace benchleaf::linked
