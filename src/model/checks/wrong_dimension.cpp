#include "model/reports.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::wrong_dimension = {
    {"wrong-dimension", messages::Level::error, "a figure or unit of another sort than is wanted"}};

namespace found {

void wrong_dimension(Messages& out, Span at, std::string_view text, units::Wanted wanted) {
    std::vector<std::string> fitting;
    for (const units::Unit unit : units::all_units())
        if (units::fits(unit, wanted)) fitting.push_back(fmt::format("`{}`", units::symbol(unit)));
    const auto unit = units::find_unit(text);
    out.add(checks::wrong_dimension.rule, at,
            fmt::format("`{}` is a unit of another sort; one of {} is wanted here", text,
                        units::says(wanted).substr(units::says(wanted).find(' ') + 1)),
            unit ? std::string(units::says(units::dimension(*unit))) : std::string())
        .help = fmt::format("the units here are {}", base::join_and(fitting));
}

} // namespace found
} // namespace benchleaf::model
