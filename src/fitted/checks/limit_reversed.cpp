#include "fitted/reports.h"

#include <utility>

namespace benchleaf::fitted {

const Check checks::limit_reversed = {
    {"limit-reversed", messages::Level::error, "a limit whose minimum lies above its maximum"}};

void report_limit_reversed(Messages& out, const LimitFigure& figure, bool maximum_changed) {
    const model::Limit& is = figure.figures;
    messages::Label one{is.minimum->span, "at least " + units::print(is.minimum->value.quantity)};
    messages::Label other{is.maximum->span, "at most " + units::print(is.maximum->value.quantity)};
    if (maximum_changed) std::swap(one, other);
    messages::Message& message =
        out.add(checks::limit_reversed.rule, one.span,
                "no reading of the " + figure.name + " is good: its minimum lies above its maximum", one.text);
    message.labels.push_back(other);
    message.help = "look both up; where a vehicle or job changes one of them, it may have to change the other";
}

} // namespace benchleaf::fitted
