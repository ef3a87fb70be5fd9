#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::finer_than_gauge = {
    {"finer-than-gauge", messages::Level::error, "a limit that lies between two marks of its gauge"}};

void report_finer_than_gauge(Messages& out, const LimitFigure& figure, Span at, const units::Quantity& bound) {
    const auto& reads_to = *figure.figures.reads_to;
    messages::Message& message =
        out.add(checks::finer_than_gauge.rule, at,
                "nobody can read whether the " + figure.name + " is past " + units::print(bound),
                "between two marks of the gauge");
    message.labels.push_back({reads_to.span, "which shows steps of " + units::print(reads_to.value.quantity)});
    message.help = "take a gauge that reads finer, or write the limit at the next mark on the safe side";
}

} // namespace benchleaf::fitted
