#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::two_in_one_step = {{"two-in-one-step", messages::Level::error, "one step that is two things"}};

namespace found {

void two_in_one_step(Messages& out, Span first, std::string_view first_key, Span second, std::string_view second_key) {
    auto& message = out.add(checks::two_in_one_step.rule, second,
                            fmt::format("one step holds both `{}` and `{}`", first_key, second_key), "the second");
    message.labels.push_back({first, "the first"});
    message.help = fmt::format("start a new step with `- {}: …`, so that each can be ticked", second_key);
}

} // namespace found
} // namespace benchleaf::model
