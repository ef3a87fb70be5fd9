#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::too_many_values = {
    {"too-many-values", messages::Level::error, "an axis, part or setting with more values than a card can show"}};

void report_too_many_values(Messages& out, Span at, const std::string& what, std::size_t most) {
    out.add(checks::too_many_values.rule, at, what + " more than " + std::to_string(most) + " values",
            "more than a card can show")
        .help = "give it fewer, or make several of it";
}

} // namespace benchleaf::linked
