#include "proof/held.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_holds_nothing(Moment& now, const Check& self) {
    if (now.it().is.pinches()) return; // it sits in its clamp, and holds once it is tightened
    tell_not_held(now, self, [](std::string_view part, const std::string& place) {
        return fmt::format("{{item}} is fitted{{sides}} while the {} that it holds is {}", part, place);
    });
}

} // namespace

extern const Check holds_nothing{
    {"holds-nothing", messages::Level::error, "a fastener goes in while what it holds is not on"},
    When::demand,
    model::Demand::holds_something,
    find_holds_nothing};

} // namespace benchleaf::proof::checks
