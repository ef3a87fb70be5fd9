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

// The step that is missing or one too many.
std::string remedy(const Moment& now, linked::Place place, linked::Place last) {
    const linked::Item& item = now.it().is;
    const auto before = [&](std::string_view verb) {
        return fmt::format("add `- {}: {}` before this step", verb, item.id);
    };
    const bool fastener = item.sort == linked::Sort::fastener;
    switch (now.deed->from) {
    case model::Starts::tight_or_snug:
        return place == last ? "leave this step out" : "it is loose already: leave this step out";
    case model::Starts::not_off:
    case model::Starts::own_or_resting:
        return place == last ? "leave this step out, or fit it before" : std::string();
    case model::Starts::loose:
    case model::Starts::loose_or_snug:
        if (place == last) return before("fit");
        if (place != 0) return {};
        return now.row->verb == model::VerbName::torque
                   ? fmt::format("add `- slacken: {0}` before this step, or write `- recheck: {0}`", item.id)
                   : before("slacken");
    case model::Starts::tight:
    case model::Starts::resting:
        if (!fastener) return before("fit");
        return place == last ? fmt::format("add `- fit: {0}` and `- torque: {0}` before this step", item.id)
                             : before("torque");
    case model::Starts::off_place:
        return before("remove");
    case model::Starts::own_place:
    case model::Starts::anywhere:
        break;
    }
    return {};
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
    finding.help = remedy(now, bad->standing.place, last);
    now.blame(finding, now.at, bad->standing);
}

} // namespace

extern const Check wrong_place{
    {"wrong-place", messages::Level::error, "a verb is done to something that is not where the verb starts from"},
    When::demand,
    model::Demand::place,
    judge};

} // namespace benchleaf::proof::checks
