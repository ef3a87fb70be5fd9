#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::wait_too_short = {
    {"wait-too-short", messages::Level::error, "a wait for something that takes longer"}};

void report_wait_too_short(Messages& out, Span at, const std::string& consumable, Span until,
                           const units::Quantity& wanted, bool sets) {
    const std::string time = units::print(wanted);
    messages::Message& message = out.add(
        checks::wait_too_short.rule, at,
        "this waits for the " + consumable + ", which " + (sets ? "sets" : "clears") + " only in " + time, "too short");
    message.labels.push_back({until, sets ? "how long it takes to set" : "how long its vapour hangs in the air"});
    message.help = "write `- wait: " + units::print(wanted, {.plain_spaces = true}) +
                   "`; or leave out the `for` if something else is waited for";
}

} // namespace benchleaf::fitted
