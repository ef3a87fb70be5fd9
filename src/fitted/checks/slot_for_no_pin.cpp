#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::slot_for_no_pin = {
    {"slot-for-no-pin", messages::Level::error, "a fastener turned to its next slot, and nothing locks it there"}};

void report_slot_for_no_pin(Messages& out, Span at, const linked::Item& item, const TorqueFigure& figure) {
    messages::Message& message = out.add(checks::slot_for_no_pin.rule, figure.declared,
                                         "the " + item.name + " is turned to its next slot, and nothing locks it there",
                                         "a slot for which pin?");
    message.labels.push_back({item.declared, "no pin or clip has `locks: " + item.id + "`"});
    message.labels.push_back({at, "tightened so here"});
    message.help =
        "declare the pin or tab washer that goes in there, under `fasteners`: `{ name: …, secured-by: fit, locks: " +
        item.id + " }`; only a nut that nothing has to lock has no `next-slot`";
}

} // namespace benchleaf::fitted
