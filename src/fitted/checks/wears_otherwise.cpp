#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::wears_otherwise = {
    {"wears-otherwise", messages::Level::warning, "a limit wears with what the meter of the job does not count"}};

void report_wears_otherwise(Messages& out, const LimitFigure& figure, const std::string& id, const linked::Job& job) {
    const auto& meter = *job.source->meter;
    messages::Message& message =
        out.add(checks::wears_otherwise.rule, figure.figures.wears_with->span,
                "the " + figure.name + " wears with " + figure.figures.wears_with->value +
                    ", and the meter of this job counts in " + std::string(units::symbol(meter.value.quantity.unit)) +
                    ": whether it lasts to the next service is not reckoned",
                "it wears with this");
    message.labels.push_back({meter.span, "the meter"});
    message.help = "say at the vehicle what it wears with there, `limits: { " + id +
                   ": { wears-with: " + std::string(units::symbol(meter.value.quantity.unit)) +
                   " } }`, or give the job the other meter";
}

} // namespace benchleaf::fitted
