#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// Nothing asks for another state of this setting to tighten it in.
bool tight_here(const Moment& now, linked::ItemId holder) {
    for (const linked::While& each : now.of(holder).is.whiles)
        if (each.verb == model::VerbName::torque)
            for (const linked::Need& need : each.needs)
                if (need.item == now.item) return false;
    return true;
}

void find_still_needed(Moment& now, const Check& self) {
    for (const linked::ItemId user : now.it().is.needed_by) {
        if (!user.known() || !now.of(user).present) continue;
        for (const linked::Need& need : now.of(user).is.needs) {
            if (need.item != now.item || need.place == now.place) continue; // of another, or it stays there
            const Way on =
                now.when(now.at, [&](const Standing& s) { return s.place_known() && s.place == need.place; });
            bool told = false;
            for (const fitted::InstanceId at : now.beside(user)) {
                const auto bad = now.some(
                    at, [](const Standing& s) { return s.away() && s.place_known(); }, on);
                if (!bad) continue;
                Finding& finding = now.report(self,
                                              fmt::format("{{item}} leaves {} while the {} is {}",
                                                          now.place_name(now.item, need.place), now.name(user),
                                                          now.place_name(user, bad->standing.place)),
                                              bad);
                now.blame(finding, at, bad->standing);
                now.remedies->before(now, finding, user, bad->standing.place, 0);
                told = true;
                break;
            }
            if (told) continue;
            for (const linked::ItemId holder : now.of(user).is.held_by) {
                if (!holder.known() || !now.of(holder).present) continue;
                for (const fitted::InstanceId at : now.beside(holder)) {
                    const auto bad = now.some(
                        at, [](const Standing& s) { return s.place_known() && s.place > 1; }, on);
                    if (!bad) continue;
                    Finding& finding =
                        now.report(self,
                                   fmt::format("{{item}} leaves {} while the {} that holds the {} is only {}",
                                               now.place_name(now.item, need.place), now.name(holder), now.name(user),
                                               now.place_name(holder, bad->standing.place)),
                                   bad);
                    now.blame(finding, at, bad->standing);
                    now.remedies->before(now, finding, holder, bad->standing.place, tight_here(now, holder) ? 0 : 1);
                    break;
                }
            }
        }
    }
}

} // namespace

extern const Check still_needed{
    {"still-needed", messages::Level::error, "a setting is left while something that needs it is not back and held"},
    When::demand,
    model::Demand::users_at_rest,
    find_still_needed};

} // namespace benchleaf::proof::checks
