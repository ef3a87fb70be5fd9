#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::axis_missing = {
    {"axis-missing", messages::Level::error, "a procedure goes by an axis of which the vehicle has nothing"}};

void report_axis_missing(Messages& out, Span at, const std::string& procedure, const std::string& axis,
                         const OfVehicle& vehicle) {
    messages::Message& message =
        out.add(checks::axis_missing.rule, at,
                "the procedure `" + procedure + "` is worked for each " + axis + ", and " + vehicle.name + " has none",
                "for each of what?");
    if (vehicle.id.known()) message.labels.push_back({vehicle.id, "no `axes: { " + axis + ": … }` here"});
    message.help = "narrow the procedure with `fits`" +
                   (vehicle.file.empty() ? std::string() : ", or give the values of `" + axis + "` in " + vehicle.file);
}

} // namespace benchleaf::fitted
