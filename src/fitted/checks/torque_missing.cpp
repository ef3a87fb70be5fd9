#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::torque_missing = {
    {"torque-missing", messages::Level::error, "a fastener is tightened and nobody gives its torque"}};

void report_torque_missing(Messages& out, Span at, const std::string& id, const std::string& fastener,
                           const OfVehicle& vehicle, Span declared) {
    messages::Message& message = out.add(checks::torque_missing.rule, at,
                                         "nobody gives a torque for the " + fastener +
                                             (vehicle.file.empty() ? std::string() : " of " + vehicle.name),
                                         "how tight?");
    message.labels.push_back({declared, "declared here"});
    message.help = "write `torques: { " + id + ": { value: …, threads: …, source: … } }` in " +
                   (vehicle.file.empty() ? std::string("the catalogue") : vehicle.file);
}

} // namespace benchleaf::fitted
