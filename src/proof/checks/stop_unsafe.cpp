#include "proof/check.h"
#include "proof/remedy.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// A vehicle that is left standing: no setting in a state that its catalogue calls unsafe to leave, no moved part without a hold, and
// each wheel that is on is held by at least snug fasteners.
void find_stop_unsafe(Moment& now, const Check& self) {
    const linked::Item& item = now.it().is;
    if (item.sort == linked::Sort::setting && item.setting.unsafe_to_leave) {
        const auto bad = now.some(now.at, [&](const Standing& s) {
            const auto& unsafe = item.setting.unsafe_to_leave->value;
            return s.place_known() && std::any_of(unsafe.begin(), unsafe.end(), [&](const auto& state) {
                       return state.name == item.places[s.place].name;
                   });
        });
        if (!bad) return;
        Finding& finding = now.report(
            self, fmt::format("work stops here while {{item}} is {}", now.place_name(now.item, bad->standing.place)),
            bad);
        now.blame(finding, now.at, bad->standing);
        // To the nearest state that is safe, down before up.
        const auto is_safe = [&](linked::Place place) {
            const auto& unsafe = item.setting.unsafe_to_leave->value;
            return std::none_of(unsafe.begin(), unsafe.end(),
                                [&](const auto& state) { return state.name == item.places[place].name; });
        };
        const auto states = static_cast<int>(item.places.size());
        for (int away = 1; away < states; ++away)
            for (const int place : {bad->standing.place - away, bad->standing.place + away})
                if (finding.help.empty() && place >= 0 && place < states && is_safe(static_cast<linked::Place>(place)))
                    now.remedies->before(now, finding, now.item, bad->standing.place,
                                         static_cast<linked::Place>(place));
        return;
    }
    if (item.sort != linked::Sort::part || !item.part.system || item.part.system->value != model::System::wheel) return;
    const Way on =
        now.when(now.at, [&](const Standing& s) { return s.place_known() && s.place + 1U != item.places.size(); });
    for (const linked::ItemId holder : item.held_by) {
        if (!holder.known() || !now.of(holder).present) continue;
        for (const fitted::InstanceId at : now.beside(holder)) {
            const auto bad = now.some(
                at, [](const Standing& s) { return s.place_known() && s.place > 1; }, on);
            if (!bad) continue;
            Finding& finding = now.report(self,
                                          fmt::format("work stops here while the {} that holds {{item}} is {}{{sides}}",
                                                      now.name(holder), now.place_name(holder, bad->standing.place)),
                                          bad);
            now.blame(finding, at, bad->standing);
            now.remedies->before(now, finding, holder, bad->standing.place, 1);
            finding.help += fmt::format(", or take the {} off", now.name(now.item));
            break;
        }
    }
}

} // namespace

extern const Check stop_unsafe{
    {"stop-unsafe", messages::Level::error, "work stops while the vehicle is not safe to leave"},
    When::stop,
    std::nullopt,
    find_stop_unsafe};

} // namespace benchleaf::proof::checks
