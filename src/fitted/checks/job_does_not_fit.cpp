#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::job_does_not_fit = {
    {"job-does-not-fit", messages::Level::error, "a job with a procedure that is not for its vehicle"}};

void report_job_does_not_fit(Messages& out, Span at, const std::string& procedure, const OfVehicle& vehicle,
                             const Failing& failing) {
    messages::Message& message =
        out.add(checks::job_does_not_fit.rule, at, "the procedure `" + procedure + "` is not for " + vehicle.name,
                "does not fit");
    message.labels.push_back({failing.condition, "it is for vehicles with " + failing.wanted});
    if (failing.has.known()) {
        message.labels.push_back({failing.has, "this one has " + failing.has_value});
    } else if (vehicle.id.known()) {
        message.labels.push_back({vehicle.id, "this one says nothing of it"});
    }
    message.help = "take it out of the job, or put right what the vehicle `has`";
}

} // namespace benchleaf::fitted
