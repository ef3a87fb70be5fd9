#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::size_below_zero = {
    {"size-below-zero", messages::Level::error, "a size below zero of what wears or rubs"}};

void report_size_below_zero(Messages& out, const LimitFigure& figure, Span at, const units::Quantity& size, Span why) {
    messages::Message& message =
        out.add(checks::size_below_zero.rule, at, "the " + figure.name + " is never below zero",
                units::print(size) + " is less than nothing");
    message.labels.push_back({why, "it wears: nothing is left of it at zero"});
    message.help = "look it up; a range is written with two dots, as in `1.5..2.0 mm`";
}

} // namespace benchleaf::fitted
