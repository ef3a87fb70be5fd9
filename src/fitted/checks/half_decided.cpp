#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::half_decided = {
    {"half-decided", messages::Level::warning, "a limit is measured on both sides, and decided by on one"}};

void report_half_decided(Messages& out, Span at, const std::string& limit, const std::string& lacking, Span declared) {
    messages::Message& message = out.add(checks::half_decided.rule, at,
                                         "the " + limit + " is measured and nothing is decided by it, " + lacking);
    message.labels.push_back({declared, "has a limit, which nobody holds that reading against"});
    message.help = "let the `decide` that rests on it be asked there, too, or leave the reading out";
}

} // namespace benchleaf::fitted
