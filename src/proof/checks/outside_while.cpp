#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_outside_while(Moment& now, const Check& self) {
    now.ask(self, now.whiles(now.row->verb),
            {fmt::format("{{item}} is {}{{sides}}", now.done()), "it has to be", "asked for here", {}});
}

} // namespace

extern const Check outside_while{
    {"outside-while", messages::Level::error, "a verb is done outside the conditions that the item sets for it"},
    When::demand,
    model::Demand::whiles,
    find_outside_while};

} // namespace benchleaf::proof::checks
