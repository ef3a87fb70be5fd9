#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::limit_in_two_sorts = {
    {"limit-in-two-sorts", messages::Level::error, "a limit whose figures are not of one sort, or not in one unit"}};

void report_limit_in_two_sorts(Messages& out, const LimitFigure& figure, const LimitPart& odd, const LimitPart& other) {
    const auto sort = [&](const LimitPart& part) {
        // Clicks and notches are both counted, and still no clicks are notches.
        if (units::dimension(odd.unit) != units::dimension(other.unit))
            return std::string(units::says(units::dimension(part.unit)));
        return "in `" + std::string(units::plural(part.unit)) + "`";
    };
    messages::Message& message =
        out.add(checks::limit_in_two_sorts.rule, odd.span,
                "the " + odd.key + " of the " + figure.name + " is " + sort(odd) + ", and its " + other.key + " is " +
                    sort(other),
                units::convertible(odd.unit, other.unit) ? "the box on the card has one unit"
                                                         : "`" + odd.figure + "` cannot be held against it");
    message.labels.push_back({other.span, "`" + other.figure + "` here"});
    message.help = units::dimension(odd.unit) == units::Dimension::percentage
                       ? "work out the percentage and write it in " + std::string(units::plural(other.unit))
                   : units::convertible(odd.unit, other.unit)
                       ? "write all figures of a limit in one unit, that of its gauge"
                       : "write all figures of a limit in units of one sort";
}

} // namespace benchleaf::fitted
