#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::leads_nowhere = {
    {"leads-nowhere", messages::Level::error, "a question on whose answer nothing depends"}};

namespace found {

void leads_nowhere(Messages& out, Span at, std::string_view key, std::string_view id) {
    out.add(checks::leads_nowhere.rule, at, "nothing depends on the answer to this question").help =
        id.empty()
            ? fmt::format("give this `{}` an `if-so` or `if-not`, or an `id` that an `if-answered` names", key)
            : fmt::format("give it an `if-so` or `if-not`, or write `if-answered: {{ {}: no }}` further down", id);
}

} // namespace found
} // namespace benchleaf::model
