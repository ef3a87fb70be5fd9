#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// Says so and returns true when an instance of `item` is not at its resting place.
bool away(Moment& now, const Check& self, linked::ItemId item) {
    if (!item.known() || !now.of(item).present) return false;
    for (const fitted::InstanceId at : now.on_circuit(now.item, item)) {
        const auto bad = now.some(at, [](const Standing& s) { return s.away() && s.place_known(); });
        if (!bad) continue;
        Finding& finding = now.report(self,
                                      fmt::format("{{item}} is primed while the {} is {}", now.name(item),
                                                  now.place_name(item, bad->standing.place)),
                                      bad);
        now.blame(finding, at, bad->standing);
        now.remedies->before(now, finding, item, bad->standing.place, 0);
        finding.help += ": priming can push a piston out";
        return true;
    }
    return false;
}

void find_primed_open(Moment& now, const Check& self) {
    for (const linked::ItemId moved : now.it().is.moves) {
        linked::ItemId part = moved;
        // The part itself, and all that it is inside of, each with its holders.
        for (int depth = 0; depth < 16 && part.known() && now.of(part).present; ++depth) {
            if (away(now, self, part)) break;
            bool stop = false;
            for (const linked::ItemId holder : now.of(part).is.held_by) stop = away(now, self, holder) || stop;
            if (stop) break;
            part = now.of(part).is.inside;
        }
    }
}

} // namespace

extern const Check primed_open{
    {"primed-open", messages::Level::error, "a circuit is primed while something that it moves is not on and tight"},
    When::demand,
    model::Demand::moved_at_rest,
    find_primed_open};

} // namespace benchleaf::proof::checks
