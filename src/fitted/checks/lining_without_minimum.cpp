#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::lining_without_minimum = {
    {"lining-without-minimum", messages::Level::error, "the thickness of a lining, without a minimum"}};

void report_lining_without_minimum(Messages& out, const LimitFigure& figure, Span surface) {
    const auto& maximum = *figure.figures.maximum;
    messages::Message& message =
        out.add(checks::lining_without_minimum.rule, maximum.span,
                "the " + figure.name + " has a maximum and no minimum, so a lining that is worn through passes",
                "at most " + units::print(maximum.value.quantity));
    if (figure.figures.wears_with)
        message.labels.push_back({figure.figures.wears_with->span, "it gets thinner with this"});
    if (surface.known()) message.labels.push_back({surface, "what rubs"});
    message.help = "add `minimum:` with the least that may stay in; if this is it, write `minimum` for `maximum`";
}

} // namespace benchleaf::fitted
