#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

bool starts(model::Starts from, linked::Place place, linked::Place last) {
    switch (from) {
    case model::Starts::anywhere:
        return true;
    case model::Starts::tight_or_snug:
        return place <= 1;
    case model::Starts::not_off:
        return place != last;
    case model::Starts::loose:
        return place == 2;
    case model::Starts::loose_or_snug:
        return place == 1 || place == 2;
    case model::Starts::tight:
    case model::Starts::resting:
        return place == 0;
    case model::Starts::off_place:
        return place == last;
    case model::Starts::own_or_resting:
        return place != last;
    case model::Starts::own_place:
        return place != 0 && place != last;
    }
    return true;
}

void judge(Moment& now, const Check& self) {
    const auto last = static_cast<linked::Place>(now.it().is.places.size() - 1);
    const auto bad =
        now.some(now.at, [&](const Standing& s) { return s.place_known() && !starts(now.deed->from, s.place, last); });
    if (!bad) return;
    Finding& finding = now.report(self,
                                  fmt::format("{{item}} cannot be {} here: it is {}{{sides}}", now.done(),
                                              now.place_name(now.item, bad->standing.place)),
                                  bad);
    now.blame(finding, now.at, bad->standing);
}

} // namespace

extern const Check wrong_place{
    {"wrong-place", messages::Level::error, "a verb is done to something that is not where the verb starts from"},
    When::demand,
    model::Demand::place,
    judge};

} // namespace benchleaf::proof::checks
