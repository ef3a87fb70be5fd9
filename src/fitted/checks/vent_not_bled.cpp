#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::vent_not_bled = {
    {"vent-not-bled", messages::Level::warning, "a circuit with a vent is filled, and never bled there"}};

void report_vent_not_bled(Messages& out, Span at, const linked::Item& circuit, const linked::Item& vent) {
    messages::Message& message =
        out.add(checks::vent_not_bled.rule, at, "the " + circuit.name + " is filled and never bled, and has a vent",
                "the air in it stays");
    message.labels.push_back({vent.declared, "at which it is bled"});
    message.help = "add `- bleed: " + vent.id + "` behind the `fill`, and its `torque`";
}

} // namespace benchleaf::fitted
