#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::do_does_not_fit = {
    {"do-does-not-fit", messages::Level::error, "a `do` of a procedure that is not for the vehicle"}};

void report_do_does_not_fit(Messages& out, Span at, const std::string& procedure, const OfVehicle& vehicle,
                            const Failing& failing) {
    messages::Message& message =
        out.add(checks::do_does_not_fit.rule, at,
                "the procedure `" + procedure + "` is not for " + vehicle.name + ", and this one is", "does not fit");
    message.labels.push_back({failing.condition, "it is for vehicles with " + failing.wanted});
    if (failing.has.known()) message.labels.push_back({failing.has, "this one has " + failing.has_value});
    message.help = "give the step `when: { " + failing.wanted + " }`, or narrow this procedure's `fits`";
}

} // namespace benchleaf::fitted
