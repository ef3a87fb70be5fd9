#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::limit_without_source = {{"limit-without-source", messages::Level::error,
                                             "a limit changed by somebody who does not say where it comes from"}};

void report_limit_without_source(Messages& out, Span at, const std::string& name, Span source_below) {
    messages::Message& message =
        out.add(checks::limit_without_source.rule, at, "nobody says where this limit of the " + name + " comes from",
                "no `source` here");
    message.labels.push_back({source_below, "the source of the figure that it takes the place of"});
    message.help = "say where this one comes from: `source: …`, the manual and its page, or who worked it out";
}

} // namespace benchleaf::fitted
