#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::clamps_nothing = {
    {"clamps-nothing", messages::Level::error, "a critical fastener whose last stage leaves it loose"}};

void report_clamps_nothing(Messages& out, Span at, const linked::Item& item, const TorqueFigure& figure) {
    messages::Message& message = out.add(checks::clamps_nothing.rule, figure.declared,
                                         units::print(figure.value, {.plain_spaces = true}) + " leaves the " +
                                             item.name + " loose, and it has to clamp",
                                         "nothing tightens it in the end");
    if (item.fastener.critical) message.labels.push_back({item.fastener.critical->span, "critical"});
    message.labels.push_back({at, "tightened so here"});
    message.help = "end with a torque, or with an angle further on from one; what clamps nothing says so: `duty: "
                   "adjust`, or whichever it is";
}

} // namespace benchleaf::fitted
