#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::nothing_to_decide = {
    {"nothing-to-decide", messages::Level::error, "a decision whose inspections are not made on the vehicle"}};

void report_nothing_to_decide(Messages& out, Span at, const OfVehicle& vehicle) {
    out.add(checks::nothing_to_decide.rule, at, "on " + vehicle.name + " there is nothing to decide this by",
            "this inspection is not made there")
        .help = "give this step the same `when` and `only` as the inspection";
}

} // namespace benchleaf::fitted
