#include "proof/held.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_pinches_nothing(Moment& now, const Check& self) {
    if (!now.it().is.pinches()) return;
    tell_not_held(now, self, [&](std::string_view part, const std::string& place) {
        return fmt::format("{{item}} is {}{{sides}} while the {} that it pinches is {}", now.done(), part, place);
    });
}

} // namespace

extern const Check pinches_nothing{
    {"pinches-nothing", messages::Level::error, "a pinch bolt is tightened while what it holds is not in its slot"},
    When::demand,
    model::Demand::pinches_something,
    find_pinches_nothing};

} // namespace benchleaf::proof::checks
