#include "fitted/reports.h"

#include <algorithm>
#include <utility>

namespace benchleaf::fitted {

const Check checks::limit_in_two_sorts = {
    {"limit-in-two-sorts", messages::Level::error, "a limit whose figures are not of one sort, or not in one unit"}};

namespace {

// `mm` for `cm`, `m` for `mm`: one letter. An inch is no slip of a millimetre.
bool one_letter_off(std::string_view one, std::string_view two) {
    if (one.size() < two.size()) std::swap(one, two);
    if (one.size() - two.size() > 1 || one == two) return false;
    const auto at = static_cast<std::size_t>(std::mismatch(two.begin(), two.end(), one.begin()).first - two.begin());
    return one.substr(at + 1) == two.substr(one.size() == two.size() ? at + 1 : at);
}

// As it is typed, not as it is printed.
std::string typed(std::string printed) {
    constexpr std::string_view dash = "–";
    constexpr std::string_view no_break = "\u00A0";
    if (const std::size_t at = printed.find(dash); at != std::string::npos) printed.replace(at, dash.size(), "..");
    if (const std::size_t at = printed.find(no_break); at != std::string::npos)
        printed.replace(at, no_break.size(), " ");
    return printed;
}

// What was likely meant: the same size, where it goes with the other one's; else the same number, where the unit may be a slip.
std::string meant(const LimitPart& odd, const LimitPart& right) {
    const std::string_view unit = units::plural(odd.unit);
    const std::string_view better = units::plural(right.unit);
    const auto bounds = [](const LimitPart& part) { return part.quantity && part.key != "`reads-to`"; };
    if (units::convertible(odd.unit, right.unit) && bounds(odd) && bounds(right)) {
        const double one = units::value_in(*odd.quantity, right.unit);
        const double two = units::value_in(*right.quantity, right.unit);
        if (one > 0.5 * two && one < 2 * two) {
            const auto same = units::convert_exactly(*odd.quantity, right.unit);
            return same ? typed(units::print(*same)) : std::string();
        }
    }
    const bool another_sort = units::dimension(odd.unit) != units::dimension(right.unit) &&
                              units::dimension(odd.unit) != units::Dimension::percentage;
    if ((!another_sort && !one_letter_off(unit, better)) || odd.figure == unit || !odd.figure.ends_with(unit))
        return {};
    return typed(odd.figure.substr(0, odd.figure.size() - unit.size()) + std::string(better));
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
    const std::string instead = meant(odd, other);
    const std::string ask = instead.empty() ? "" : "; did you mean `" + instead + "`?";
    message.help = units::dimension(odd.unit) == units::Dimension::percentage
                       ? "work out the percentage and write it in " + std::string(units::plural(other.unit))
                   : units::convertible(odd.unit, other.unit)
                       ? "write all figures of a limit in one unit, that of its gauge" + ask
                       : "write all figures of a limit in units of one sort" + ask;
}

} // namespace benchleaf::fitted
