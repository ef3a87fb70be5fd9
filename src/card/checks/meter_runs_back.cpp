#include "card/found.h"

#include <fmt/format.h>

namespace benchleaf::card {

const Check checks::meter_runs_back = {{"meter-runs-back", messages::Level::warning,
                                        "a job whose meter shows less than an earlier record of the vehicle"}};

void found::meter_runs_back(const model::Job& job, const model::Record& before, messages::Messages& out) {
    constexpr units::PrintOptions plain{.plain_spaces = true};
    messages::Message message;
    message.rule = &checks::meter_runs_back.rule;
    message.text =
        fmt::format("the meter shows {}, and showed {} at an earlier visit",
                    units::print(job.meter->value.quantity, plain), units::print(before.meter->value.quantity, plain));
    message.labels.push_back({job.meter->span, "less than before"});
    message.labels.push_back({before.meter->span, "recorded then"});
    message.help = "look which of the two is right; after a new meter, what was read before it counts no more";
    out.add(std::move(message));
}

} // namespace benchleaf::card
