#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::fill_unsaid = {
    {"fill-unsaid", messages::Level::error, "a circuit is filled, and how much goes in is said nowhere"}};

void report_fill_unsaid(Messages& out, Span at, const linked::Item& circuit) {
    messages::Message& message =
        out.add(checks::fill_unsaid.rule, at, "how much is filled into the " + circuit.name + " is said nowhere",
                "the card would print no figure here");
    message.labels.push_back({circuit.declared, "what it `holds` is not said"});
    message.help =
        "look it up, and write `holds` at the circuit; where it is only topped up, the `amount` of this `fill`";
}

} // namespace benchleaf::fitted
