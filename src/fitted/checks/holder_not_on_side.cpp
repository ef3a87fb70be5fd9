#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::holder_not_on_side = {
    {"holder-not-on-side", messages::Level::error,
     "a vehicle that leaves out what holds a part, or the part, and has the other"}};

void report_holder_not_on_side(Messages& out, Span only, const linked::Item& part, const linked::Item& holder,
                               const std::string& value) {
    messages::Message& message = out.add(checks::holder_not_on_side.rule, only,
                                         "the " + part.name + " is on the vehicle at `" + value + "`, too, and the " +
                                             holder.name + " that holds it is not",
                                         "not there by this");
    message.labels.push_back({part.declared, "the part"});
    message.help = "take `" + holder.id + "` out of `only`, or put `" + part.id +
                   "` there as well; what holds it instead is named in its `held-by` and has an `only` of its own";
}

void report_holder_of_nothing(Messages& out, Span only, const linked::Item& part, const linked::Item& holder,
                              const std::string& value) {
    messages::Message& message = out.add(checks::holder_not_on_side.rule, only,
                                         "the " + holder.name + " is on the vehicle at `" + value + "`, and the " +
                                             part.name + " that it holds is not",
                                         "not there by this");
    message.labels.push_back({holder.declared, "what holds it"});
    message.help = "put `" + holder.id + "` into `only`, too, or take `" + part.id + "` out";
}

} // namespace benchleaf::fitted
