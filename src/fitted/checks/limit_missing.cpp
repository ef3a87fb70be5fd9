#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::limit_missing = {
    {"limit-missing", messages::Level::error, "something is measured and nobody says what is allowed"}};

void report_limit_missing(Messages& out, Span at, const std::string& id, const std::string& limit,
                          const OfVehicle& vehicle, Span declared) {
    messages::Message& message = out.add(checks::limit_missing.rule, at,
                                         "nobody gives a limit for the " + limit +
                                             (vehicle.file.empty() ? std::string() : " of " + vehicle.name),
                                         "compared with what?");
    message.labels.push_back({declared, "declared without minimum, maximum, within or difference"});
    message.help = "write `limits: { " + id + ": { minimum: … } }` in " +
                   (vehicle.file.empty() ? std::string("the catalogue") : vehicle.file);
}

} // namespace benchleaf::fitted
