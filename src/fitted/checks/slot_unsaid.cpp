#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::slot_unsaid = {{"slot-unsaid", messages::Level::warning,
                                    "a split pin locks a nut, and nothing says that it is turned on to its next slot"}};

void report_slot_unsaid(Messages& out, Span at, const linked::Item& item, const TorqueFigure& figure,
                        const linked::Item& pin) {
    const std::string value = units::print(figure.value, {.plain_spaces = true});
    messages::Message& message =
        out.add(checks::slot_unsaid.rule, at,
                "the " + pin.name + " locks the " + item.name + ", which is not turned on to its next slot",
                "the pin need not go in at " + value);
    message.labels.push_back({figure.declared, "without `next-slot`"});
    message.labels.push_back({pin.declared, "the pin"});
    message.help = "end its stages with it: `value: [" + value +
                   ", next-slot]`; where the pin goes through a cap over the nut, say so under `allow` in that step";
}

} // namespace benchleaf::fitted
