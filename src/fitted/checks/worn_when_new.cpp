#include "fitted/reports.h"

#include <utility>

namespace benchleaf::fitted {

const Check checks::worn_when_new = {
    {"worn-when-new", messages::Level::error, "a limit that a new part does not keep"}};

void report_worn_when_new(Messages& out, const LimitFigure& figure, bool wears_down, bool new_changed) {
    const model::Limit& is = figure.figures;
    const auto& limit = wears_down ? *is.minimum : *is.maximum;
    messages::Label one{limit.span, (wears_down ? "at least " : "at most ") + units::print(limit.value.quantity)};
    messages::Label other{is.new_size->span, "measures " + units::print(is.new_size->value.quantity) + " when new"};
    if (new_changed) std::swap(one, other);
    messages::Message& message =
        out.add(checks::worn_when_new.rule, one.span,
                "the " + figure.name + " of a new part is not inside " + (new_changed ? "its limit" : "this limit") +
                    (is.uncertainty ? " by more than the gauge may be off" : ""),
                one.text);
    message.labels.push_back(other);
    if (is.uncertainty)
        message.labels.push_back(
            {is.uncertainty->span, "the reading may be off by " + units::print(is.uncertainty->value.quantity)});
    message.help = wears_down ? "look up both: `new` has to lie above `minimum` and the gauge's `uncertainty`"
                              : "look up both: `new` has to lie below `maximum` less the gauge's `uncertainty`";
}

} // namespace benchleaf::fitted
