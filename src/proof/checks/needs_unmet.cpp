#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_needs_unmet(Moment& now, const Check& self) {
    now.ask(self, now.it().is.needs, {fmt::format("{{item}} is {}", now.done()), "it needs it", "needed here", {}});
}

} // namespace

extern const Check needs_unmet{
    {"needs-unmet", messages::Level::error, "something is worked on while what it needs is not so"},
    When::demand,
    model::Demand::needs,
    find_needs_unmet};

} // namespace benchleaf::proof::checks
