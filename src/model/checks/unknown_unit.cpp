#include "model/reports.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::unknown_unit = {{"unknown-unit", messages::Level::error, "a unit that is not known"}};

namespace found {

void unknown_unit(Messages& out, Span at, std::string_view text, units::Wanted wanted) {
    std::vector<std::string_view> symbols;
    std::vector<std::string> fitting;
    for (const units::Unit unit : units::all_units())
        if (units::fits(unit, wanted)) {
            symbols.push_back(units::symbol(unit));
            fitting.push_back(fmt::format("`{}`", units::symbol(unit)));
        }
    auto& message = out.add(checks::unknown_unit.rule, at, fmt::format("`{}` is no unit", text));
    const std::string_view near = base::nearest(text, symbols);
    if (near.empty()) {
        message.help = fmt::format("the units here are {}", base::join_and(fitting));
        return;
    }
    message.help = fmt::format("did you mean `{}`?", near);
    messages::correct_slip(message, at, text, near);
}

} // namespace found
} // namespace benchleaf::model
