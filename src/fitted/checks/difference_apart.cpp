#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::difference_apart = {
    {"difference-apart", messages::Level::error,
     "a question that is asked for each by itself, and rests on the difference between them"}};

void report_difference_apart(Messages& out, Span at, const LimitFigure& figure, const std::string& axis) {
    messages::Message& message =
        out.add(checks::difference_apart.rule, at,
                "the question is asked for each " + axis + " by itself, and the limit of the " + figure.name +
                    " is a difference between them",
                "asked before the other is measured");
    message.labels.push_back({figure.figures.difference->span, "the difference over " + axis});
    message.help = "put the `decide` into a section with `once: true`, behind the one that measures";
}

} // namespace benchleaf::fitted
