#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::torque_without_source = {
    {"torque-without-source", messages::Level::error, "a torque of which nobody says where it comes from"}};

void report_torque_without_source(Messages& out, Span at, const std::string& fastener, Span step, bool source_below) {
    messages::Message& message =
        out.add(checks::torque_without_source.rule, at,
                "nobody says where the torque of the " + fastener + " comes from", "no `source` here");
    message.labels.push_back({step, "tightened to it here"});
    message.help = source_below
                       ? "the catalogue's source is that of its own value; say where this one comes from: `source: …`"
                       : "add `source: …`: the manual and its page, or who worked it out";
}

} // namespace benchleaf::fitted
