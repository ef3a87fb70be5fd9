#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::half_looked = {
    {"half-looked", messages::Level::warning, "a decision rests on what was looked at on some sides only"}};

void report_half_looked(Messages& out, Span at, const linked::Item& item, const std::string& lacking, Span look) {
    messages::Message& message =
        out.add(checks::half_looked.rule, at, "the " + item.name + " decides here and was not looked at, " + lacking);
    message.labels.push_back({look, "not for " + lacking});
    message.help = "take the `only` out of the step that looks at it, or let it take in " + lacking +
                   "; where it is meant so, narrow this step likewise";
}

} // namespace benchleaf::fitted
