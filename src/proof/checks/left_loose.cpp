#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_left_loose(Moment& now, const Check& self) {
    if (now.it().is.sort != linked::Sort::fastener || now.contracted || now.wanted_place != 0) return;
    const auto bad = now.some(now.at, [](const Standing& s) { return s.place == 1 || s.place == 2; });
    if (!bad) return;
    Finding& finding = now.report(
        self, fmt::format("{{item}} is left {}{{sides}}", now.place_name(now.item, bad->standing.place)), bad);
    now.put_at(finding, now.cause(now.at, bad->standing));
    finding.more.push_back(now.declared(now.item, "has to leave the shop tight"));
    finding.blamed.emplace_back(now.at, bad->standing);
    now.remedies->bring_back(now, finding, bad->standing);
}

} // namespace

extern const Check left_loose{{"left-loose", messages::Level::error, "a fastener is left loose or only snug"},
                              When::end,
                              std::nullopt,
                              find_left_loose};

} // namespace benchleaf::proof::checks
