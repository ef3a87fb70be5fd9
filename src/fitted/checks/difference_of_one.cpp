#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::difference_of_one = {
    {"difference-of-one", messages::Level::error, "a difference is asked for where only one of the two is measured"}};

void report_difference_of_one(Messages& out, Span at, const LimitFigure& figure, const std::string& value) {
    const model::Difference& difference = figure.figures.difference->value;
    messages::Message& message =
        out.add(checks::difference_of_one.rule, at,
                "the limit of the " + figure.name + " is a difference, and only one of them is measured" +
                    (value.empty() ? "" : ", " + value),
                "nothing to compare it with");
    if (difference.over) message.labels.push_back({difference.over->span, "the difference over this"});
    message.help = "measure the other, too, or write a limit without `difference` for one alone";
}

void report_difference_of_no_axis(Messages& out, const LimitFigure& figure, const linked::Item& item,
                                  const std::string& axis) {
    messages::Message& message = out.add(checks::difference_of_one.rule, figure.figures.difference->span,
                                         "the limit of the " + figure.name + " is a difference over " + axis +
                                             ", and there is one " + item.name + " alone",
                                         "one box on the card, and nothing to compare it with");
    message.labels.push_back({item.declared, "no `each: " + axis + "` here"});
    message.help = "write `each: " + axis + "` where the " + item.name + " is declared, or leave the `difference` out";
}

} // namespace benchleaf::fitted
