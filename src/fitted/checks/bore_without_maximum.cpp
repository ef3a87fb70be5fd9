#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::bore_without_maximum = {
    {"bore-without-maximum", messages::Level::error, "the bore of what rubs, without a maximum"}};

void report_bore_without_maximum(Messages& out, const LimitFigure& figure, Span surface) {
    const auto& minimum = *figure.figures.minimum;
    messages::Message& message =
        out.add(checks::bore_without_maximum.rule, minimum.span,
                "the " + figure.name + " has a minimum and no maximum, so a drum that is worn out passes",
                "at least " + units::print(minimum.value.quantity));
    message.labels.push_back({surface, "what rubs"});
    message.help = "add `maximum:` with the most that it may be worn to; if this is it, write `maximum` for `minimum`";
}

} // namespace benchleaf::fitted
