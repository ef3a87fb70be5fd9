#include "proof/check.h"
#include "proof/remedy.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void judge(Moment& now, const Check& self) {
    if (now.it().is.pinches()) return; // it sits in its clamp, and holds once it is tightened
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
            Finding& finding = now.report(self,
                                          fmt::format("{{item}} is fitted{{sides}} while the {} that it holds is {}",
                                                      now.name(part), now.place_name(part, bad->standing.place)),
                                          bad);
            now.blame(finding, at, bad->standing);
            now.remedies->before(now, finding, part, bad->standing.place, 0);
            break;
        }
    }
}

} // namespace

extern const Check holds_nothing{
    {"holds-nothing", messages::Level::error, "a fastener goes in while what it holds is not on"},
    When::demand,
    model::Demand::holds_something,
    judge};

} // namespace benchleaf::proof::checks
