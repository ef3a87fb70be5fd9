#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::fluid_unsaid = {{"fluid-unsaid", messages::Level::error,
                                     "a circuit is filled, bled or topped up, and with which fluid is said nowhere"}};

void report_fluid_unsaid(Messages& out, Span at, const linked::Item& circuit) {
    messages::Message& message =
        out.add(checks::fluid_unsaid.rule, at, "which fluid goes into the " + circuit.name + " is said nowhere",
                "the card would name none here");
    message.labels.push_back({circuit.declared, "its `fluid` is not said"});
    message.help = "look it up, and write `fluid` at the circuit, with a consumable of `sort: fluid`";
}

} // namespace benchleaf::fitted
