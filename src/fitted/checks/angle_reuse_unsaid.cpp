#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::angle_reuse_unsaid = {
    {"angle-reuse-unsaid", messages::Level::warning,
     "what is tightened by an angle may stretch for good, and nobody says whether it is used again"}};

void report_angle_reuse_unsaid(Messages& out, const linked::Item& item, Span torque) {
    messages::Message& message =
        out.add(checks::angle_reuse_unsaid.rule, torque, "nobody says whether the " + item.name + " is used again",
                "turned on from a torque: it may stretch for good");
    message.labels.push_back({item.declared, "has no `reuse`"});
    message.help = "look it up, and add `reuse: never` or `reuse: allowed`";
}

} // namespace benchleaf::fitted
