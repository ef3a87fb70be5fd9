#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::decided_unmeasured = {
    {"decided-unmeasured", messages::Level::error, "a decision rests on a reading that was not taken before it"}};

void report_decided_unmeasured(Messages& out, Span at, const std::string& limit, const std::string& id,
                               const std::string& lacking, Span declared, Span step,
                               const MeasuredElsewhere& elsewhere) {
    messages::Message& message =
        out.add(checks::decided_unmeasured.rule, at,
                "the " + limit + " decides here and was not measured before" + (lacking.empty() ? "" : ", " + lacking));
    message.labels.push_back({declared, "declared here"});
    const std::string measure = "- measure: " + id;
    if (!lacking.empty() && elsewhere.narrow.known()) {
        message.labels.push_back({elsewhere.narrow, "not here for " + lacking});
        message.help =
            "take the `only` out of `" + measure + "`, or let it take in " + lacking + "; or add the step for it";
        return;
    }
    if (lacking.empty() && elsewhere.late.known()) {
        message.labels.push_back({elsewhere.late, "stands too late"});
        message.help = "move `" + measure + "` before this step";
        return;
    }
    if (!elsewhere.instead.empty()) {
        message.help =
            "write `until: " + elsewhere.instead + "`, which each round reads; or add `" + measure + "` to the round";
        return;
    }
    message.help = "add `" + measure + "` before this step, on every way that leads here";
    if (lacking.empty() && step.known())
        message.fixes.push_back({"add `" + measure + "`", {{step, measure, messages::Puts::entries_before}}, true});
}

} // namespace benchleaf::fitted
