#include "base/text.h"
#include "fitted/reports.h"

#include <algorithm>

namespace benchleaf::fitted {

const Check checks::job_does_not_fit = {
    {"job-does-not-fit", messages::Level::error, "a job with a procedure that is not for its vehicle"}};

void report_job_does_not_fit(Messages& out, const std::vector<Misfit>& misfits, const OfVehicle& vehicle) {
    std::vector<std::string> names;
    for (const Misfit& each : misfits) names.push_back("`" + each.procedure + "`");
    const bool one = misfits.size() == 1;
    messages::Message& message = out.add(checks::job_does_not_fit.rule, misfits.front().at,
                                         (one ? "the procedure " : "the procedures ") + base::join_and(names) +
                                             (one ? " is" : " are") + " not for " + vehicle.name,
                                         "does not fit");
    const auto add = [&](Span at, const std::string& text) {
        const bool known = std::any_of(message.labels.begin(), message.labels.end(),
                                       [&](const messages::Label& each) { return each.span == at; });
        if (at.known() && !known) message.labels.push_back({at, text});
    };
    for (const Misfit& each : misfits) {
        const Failing& failing = each.failing;
        add(each.at, "nor does this");
        add(failing.condition, "it is for vehicles with " + failing.wanted);
        if (failing.has.known())
            add(failing.has, "this one has " + failing.has_value);
        else
            add(vehicle.id, "this one says nothing of it");
    }
    message.help = one ? "take it out of the job, or put right what the vehicle `has`"
                       : "put right which `vehicle` this job is for, or what it `has`; or take them out of the job";
}

} // namespace benchleaf::fitted
