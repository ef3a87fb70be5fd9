#include "proof/held.h"

#include "proof/remedy.h"

#include <algorithm>

namespace benchleaf::proof {

void tell_not_held(Moment& now, const Check& self, const SayHeld& says) {
    for (const linked::ItemId part : now.it().is.holds) {
        if (!part.known() || !now.of(part).present) continue;
        const std::vector<linked::PlaceName>& places = now.of(part).is.places;
        for (const fitted::InstanceId at : now.beside(part)) {
            const auto bad = now.some(at, [&](const Standing& s) {
                if (!s.away() || !s.place_known()) return false;
                if (std::size_t{s.place} + 1 == places.size()) return true;
                const std::vector<linked::ItemId>& frees = places[s.place].frees;
                return std::find(frees.begin(), frees.end(), now.item) != frees.end();
            });
            if (!bad) continue;
            Finding& finding = now.report(self, says(now.name(part), now.place_name(part, bad->standing.place)), bad);
            now.blame(finding, at, bad->standing);
            now.remedies->before(now, finding, part, bad->standing.place, 0);
            break;
        }
    }
}

} // namespace benchleaf::proof
