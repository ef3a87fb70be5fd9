#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::torque_missing = {
    {"torque-missing", messages::Level::error, "a fastener is tightened and nobody gives its torque"}};

void report_torque_missing(Messages& out, Span at, const std::string& id, const std::string& fastener,
                           const OfVehicle& vehicle, Span declared, const std::string& catalogue) {
    messages::Message& message = out.add(checks::torque_missing.rule, at,
                                         "nobody gives a torque for the " + fastener +
                                             (vehicle.file.empty() || !catalogue.empty() ? "" : " of " + vehicle.name),
                                         "how tight?");
    message.labels.push_back({declared, "declared here"});
    const std::string entry = id + ": { value: … N·m, threads: …, source: … }";
    if (catalogue.empty()) {
        message.help = "write `torques: { " + entry + " }` in " +
                       (vehicle.file.empty() ? std::string("the catalogue") : vehicle.file);
        return;
    }
    // One entry there mends it for every vehicle.
    message.cause = catalogue + " " + id;
    message.help = "add `" + entry + "` to the `torques` in " + catalogue;
    if (!vehicle.file.empty()) message.help += "; or, where vehicles differ, to those in " + vehicle.file;
}

} // namespace benchleaf::fitted
