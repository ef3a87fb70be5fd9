#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::limit_in_two_sorts = {
    {"limit-in-two-sorts", messages::Level::error, "a limit whose figures are not of one sort, or not in one unit"}};

namespace {

// The figure with the unit that its gauge reads in, which most likely was meant.
std::string in_that_unit(const LimitPart& one, const LimitPart& two) {
    const LimitPart& gauge = one.key == "`reads-to`" ? one : two;
    const LimitPart& other = one.key == "`reads-to`" ? two : one;
    const std::string_view unit = units::plural(other.unit);
    if (gauge.key != "`reads-to`" || !other.figure.ends_with(unit)) return {};
    std::string meant =
        other.figure.substr(0, other.figure.size() - unit.size()) + std::string(units::plural(gauge.unit));
    // As it is typed, not as it is printed.
    constexpr std::string_view dash = "–";
    constexpr std::string_view no_break = "\u00A0";
    if (const std::size_t at = meant.find(dash); at != std::string::npos) meant.replace(at, dash.size(), "..");
    if (const std::size_t at = meant.find(no_break); at != std::string::npos) meant.replace(at, no_break.size(), " ");
    return "; did you mean `" + meant + "`?";
}

} // namespace

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
                       ? "write all figures of a limit in one unit, that of its gauge" + in_that_unit(odd, other)
                       : "write all figures of a limit in units of one sort";
}

} // namespace benchleaf::fitted
