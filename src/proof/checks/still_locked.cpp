#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_still_locked(Moment& now, const Check& self) {
    // Where it stands is not known once its lock was told to be in too early: that is the same mistake.
    const Way known = now.when(now.at, [](const Standing& s) { return s.place_known(); });
    for (const linked::ItemId lock : now.it().is.locked_by) {
        if (!lock.known() || !now.of(lock).present) continue;
        // What is threaded locks by being tight, a pin or clip by being in.
        const bool threaded = now.of(lock).is.sort == linked::Sort::fastener;
        const auto free = static_cast<linked::Place>(threaded ? 2 : now.of(lock).is.places.size() - 1);
        for (const fitted::InstanceId at : now.beside(lock)) {
            const auto bad = now.some(
                at, [&](const Standing& s) { return s.place_known() && s.place < free; }, known);
            if (!bad) continue;
            Finding& finding = now.report(
                self, fmt::format("{{item}} is {}{{sides}} while the {} still locks it", now.done(), now.name(lock)),
                bad);
            now.blame(finding, at, bad->standing);
            now.remedies->before(now, finding, lock, bad->standing.place, free);
            break;
        }
    }
}

} // namespace

extern const Check still_locked{
    {"still-locked", messages::Level::error, "a fastener is turned while its lock holds it"},
    When::demand,
    model::Demand::unlocked,
    find_still_locked};

} // namespace benchleaf::proof::checks
