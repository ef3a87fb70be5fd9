#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::filled_unlike_holds = {
    {"filled-unlike-holds", messages::Level::warning, "far less, or more, is filled into a circuit than it holds"}};

void report_filled_unlike_holds(Messages& out, Span at, const linked::Item& circuit, bool too_much) {
    messages::Message& message =
        out.add(checks::filled_unlike_holds.rule, at,
                too_much ? "more is filled into the " + circuit.name + " than it holds"
                         : "less than half of what the " + circuit.name + " holds is filled in",
                too_much ? "with this it is too much" : "so much and no more");
    const auto& holds = circuit.circuit_of.holds;
    message.labels.push_back({holds->span, "it holds " + units::print(holds->value.quantity)});
    message.help = "look up both figures; without an `amount` the card prints what it holds";
}

} // namespace benchleaf::fitted
