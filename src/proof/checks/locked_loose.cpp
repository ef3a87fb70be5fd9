#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_locked_loose(Moment& now, const Check& self) {
    const linked::ItemId other = now.it().is.locks;
    if (!other.known() || !now.of(other).present) return;
    for (const fitted::InstanceId at : now.beside(other)) {
        const auto bad = now.some(at, [](const Standing& s) { return s.away() && s.place_known(); });
        if (!bad) continue;
        Finding& finding = now.report(self,
                                      fmt::format("{{item}} is {}{{sides}} while the {} that it locks is not {}",
                                                  now.done(), now.name(other), now.place_name(other, 0)),
                                      bad);
        now.blame(finding, at, bad->standing);
        now.remedies->before(now, finding, other, bad->standing.place, 0);
        const std::string& name = now.it().is.name;
        if (now.it().is.sort == linked::Sort::clip &&
            (name.find("tab") != std::string::npos || name.find("washer") != std::string::npos))
            finding.help += "; a tab that is bent over afterwards is fitted where it is bent";
        return;
    }
}

} // namespace

extern const Check locked_loose{
    {"locked-loose", messages::Level::error, "a lock goes in, or is tightened, while what it locks is not tight"},
    When::demand,
    model::Demand::locks_tight,
    find_locked_loose};

} // namespace benchleaf::proof::checks
