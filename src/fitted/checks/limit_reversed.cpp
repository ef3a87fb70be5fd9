#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::limit_reversed = {
    {"limit-reversed", messages::Level::error, "a limit whose minimum lies above its maximum"}};

void report_limit_reversed(Messages& out, const LimitFigure& figure) {
    const model::Limit& is = figure.figures;
    messages::Message& message =
        out.add(checks::limit_reversed.rule, is.minimum->span,
                "no reading of the " + figure.name + " is good: its minimum lies above its maximum",
                "at least " + units::print(is.minimum->value.quantity));
    message.labels.push_back({is.maximum->span, "at most " + units::print(is.maximum->value.quantity)});
    message.help = "look both up; where a vehicle or job changes one of them, it may have to change the other";
}

} // namespace benchleaf::fitted
