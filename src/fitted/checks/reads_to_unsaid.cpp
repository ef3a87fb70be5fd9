#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::reads_to_unsaid = {{"reads-to-unsaid", messages::Level::error,
                                        "a limit that wears, or is read with a doubt, without its gauge's step"}};

void report_reads_to_unsaid(Messages& out, const LimitFigure& figure, const units::Quantity& bound) {
    const model::Limit& is = figure.figures;
    const bool wears = is.wears_with.has_value();
    messages::Message& message =
        out.add(checks::reads_to_unsaid.rule, wears ? is.wears_with->span : is.uncertainty->span,
                wears ? "the " + figure.name +
                            " wears, and nothing says to what step it is read: whether it lasts to the next "
                            "service cannot be reckoned"
                      : "the " + figure.name +
                            " is read with a doubt, and nothing says to what step: what counts as good "
                            "cannot be reckoned",
                wears ? "it wears with this" : "it may be off by this");
    if (wears && is.uncertainty) message.labels.push_back({is.uncertainty->span, "and may be off by this"});
    message.help = "add `reads-to:` with the step of the gauge, for instance `reads-to: 0.1 " +
                   std::string(units::symbol(bound.unit)) + "`";
}

} // namespace benchleaf::fitted
