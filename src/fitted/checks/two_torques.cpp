#include "fitted/reports.h"

#include "base/text.h"

namespace benchleaf::fitted {

const Check checks::two_torques = {
    {"two-torques", messages::Level::error, "two catalogues give a torque for one fastener"}};

void report_two_torques(Messages& out, Span at, const std::string& fastener,
                        const std::vector<std::pair<std::string, Span>>& where) {
    std::vector<std::string> names;
    for (const auto& [catalogue, declared] : where) names.push_back(catalogue);
    messages::Message& message = out.add(
        checks::two_torques.rule, at,
        "the catalogues " + base::join_and(names) + " each give a torque for the " + fastener, "which of them?");
    for (const auto& [catalogue, declared] : where) message.labels.push_back({declared, "the one in " + catalogue});
    message.help = "leave it in one of them; where vehicles differ, it belongs in the vehicle's file";
}

} // namespace benchleaf::fitted
