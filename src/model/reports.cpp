#include "model/reports.h"

#include "base/require.h"

#include <fmt/format.h>

namespace benchleaf::model {

std::string Thing::says() const {
    if (called == "step") return name.empty() ? std::string("a step") : fmt::format("the step `{}`", name);
    return name.empty() ? fmt::format("the {}", called) : fmt::format("the {} `{}`", called, name);
}

namespace found {

// The rules of what units/ finds inside a figure.
void figure(Messages& out, Span at, const units::ParseError& error) {
    for (const Check* check : {&checks::bad_number, &checks::bad_stage, &checks::bad_thread, &checks::decimal_comma,
                               &checks::quantity_without_unit, &checks::range_reversed, &checks::tolerance_absurd,
                               &checks::unknown_unit, &checks::wrong_dimension}) {
        if (check->rule.name != error.name) continue;
        auto& message = out.add(check->rule, at, error.sentence);
        message.help = error.help;
        if (error.replacement)
            message.fixes.push_back({fmt::format("write `{}`", *error.replacement), {{at, *error.replacement}}});
        return;
    }
    base::broken("units/ gave an error that model/ has no check for");
}

} // namespace found
} // namespace benchleaf::model
