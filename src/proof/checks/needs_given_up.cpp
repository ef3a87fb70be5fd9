#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// As a setting is kept while something that needs it is not back, so is the place of a part or a fastener: the lead stays off the battery until the
// cable that is live with it is on again.
void find_needs_given_up(Moment& now, const Check& self) {
    using model::Leaves;
    if (now.deed == nullptr || now.deed->to == Leaves::same) return;
    const linked::Item& item = now.it().is;
    linked::Place to = 0;
    if (now.deed->to == Leaves::snug) to = 1;
    if (now.deed->to == Leaves::loose) to = 2;
    if (now.deed->to == Leaves::off_place) to = static_cast<linked::Place>(item.places.size() - 1);
    if (now.deed->to == Leaves::written) to = now.place;
    for (const linked::ItemId user : item.needed_by) {
        if (!user.known() || !now.of(user).present || user == now.item) continue;
        for (const linked::Need& need : now.of(user).is.needs) {
            if (need.item != now.item || need.place == to) continue;
            const Way given_up =
                now.when(now.at, [&](const Standing& s) { return s.place_known() && s.place == need.place; });
            for (const fitted::InstanceId at : now.beside(user)) {
                const auto bad = now.some(
                    at, [](const Standing& s) { return s.away() && s.place_known(); }, given_up);
                if (!bad) continue;
                Finding& finding =
                    now.report(self,
                               fmt::format("{{item}} is {}{{sides}} while the {}, which needs it {}, is {}", now.done(),
                                           now.name(user), now.place_name(now.item, need.place),
                                           now.place_name(user, bad->standing.place)),
                               bad);
                finding.more.push_back(now.cause(at, bad->standing));
                finding.more.push_back({need.span, "asked for here"});
                now.remedies->before(now, finding, user, bad->standing.place, 0);
                return; // what holds it is not back either
            }
        }
    }
}

} // namespace

extern const Check needs_given_up{{"needs-given-up", messages::Level::error,
                                   "a part is brought out of the place that something needs which is not back"},
                                  When::demand,
                                  model::Demand::unlocked,
                                  find_needs_given_up};

} // namespace benchleaf::proof::checks
