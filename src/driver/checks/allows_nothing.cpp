#include "driver/check.h"
#include "driver/reports.h"

#include <fmt/format.h>

namespace benchleaf::driver {

namespace checks {
// Found once everything was looked at (pipeline.cpp).
extern const Check allows_nothing;
const Check allows_nothing = {
    {"allows-nothing", messages::Level::warning, "an `allow` of what no check finds fault with"}, nullptr};
} // namespace checks

void report_allows_nothing(messages::Messages& out, source::Span at, const std::string& check) {
    out.add(checks::allows_nothing.rule, at, fmt::format("`{}` finds no fault with this step", check),
            "nothing to allow")
        .help = "take it out, so that it cannot hide a fault that comes later";
}

} // namespace benchleaf::driver
