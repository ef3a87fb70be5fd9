#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::gauge_too_coarse = {
    {"gauge-too-coarse", messages::Level::error, "a limit that no reading of its gauge can show to be kept"}};

void report_gauge_too_coarse(Messages& out, const LimitFigure& figure, Span range) {
    const auto& uncertainty = *figure.figures.uncertainty;
    messages::Message& message = out.add(checks::gauge_too_coarse.rule, range,
                                         "no reading can show that the " + figure.name + " is inside this limit",
                                         "narrower than the gauge is sure of");
    message.labels.push_back(
        {uncertainty.span, "the reading may be off by " + units::print(uncertainty.value.quantity)});
    message.help = "measure it with a gauge that is surer, and write its `uncertainty`";
}

} // namespace benchleaf::fitted
