#include "proof/check.h"
#include "proof/remedy.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// What is set and read while a part that takes part in it is off, is neither once that is on.
void find_set_while_off(Moment& now, const Check& self) {
    const linked::Item& item = now.it().is;
    const model::VerbName verb = now.row->verb;
    if (item.sort != linked::Sort::adjustment || (verb != model::VerbName::adjust && verb != model::VerbName::measure))
        return;
    const std::vector<linked::Need> asked = now.whiles(verb); // told as one that is not so
    for (const linked::ItemId part : item.disturbed_by) {
        if (!part.known() || !now.of(part).present || now.of(part).is.sort != linked::Sort::part) continue;
        if (std::any_of(asked.begin(), asked.end(), [&](const linked::Need& need) { return need.item == part; }))
            continue;
        const auto off = static_cast<linked::Place>(now.of(part).is.places.size() - 1);
        for (const fitted::InstanceId at : now.beside(part)) {
            const auto bad = now.some(at, [&](const Standing& s) { return s.place_known() && s.place == off; });
            if (!bad) continue;
            Finding& finding = now.report(self,
                                          fmt::format("{{item}} is {}{{sides}} while the {} is off",
                                                      verb == model::VerbName::adjust ? "set" : "read", now.name(part)),
                                          bad);
            now.blame(finding, at, bad->standing);
            now.remedies->before(now, finding, part, off, 0);
            break;
        }
    }
}

} // namespace

extern const Check set_while_off{
    {"set-while-off", messages::Level::error, "an adjustment is set or read while a part that takes part in it is off"},
    When::demand,
    model::Demand::needs,
    find_set_while_off};

} // namespace benchleaf::proof::checks
