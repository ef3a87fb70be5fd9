#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_left_off(Moment& now, const Check& self) {
    const linked::Item& item = now.it().is;
    if (now.contracted || now.wanted_place != 0) return;
    const bool fastener = item.sort == linked::Sort::fastener;
    if (!fastener && item.sort != linked::Sort::clip && item.sort != linked::Sort::part) return;
    const auto off = static_cast<linked::Place>(item.places.size() - 1);
    const auto bad = now.some(
        now.at, [&](const Standing& s) { return s.place_known() && s.place != 0 && (!fastener || s.place == off); });
    if (!bad) return;
    Finding& finding = now.report(
        self, fmt::format("{{item}} is left {}{{sides}}", now.place_name(now.item, bad->standing.place)), bad);
    now.put_at(finding, now.cause(now.at, bad->standing));
    finding.more.push_back(now.declared(now.item, fastener
                                                      ? "has to leave the shop tight"
                                                      : fmt::format("has to leave the shop {}", item.places[0].name)));
    finding.blamed.emplace_back(now.at, bad->standing);
    now.remedies->bring_back(now, finding, bad->standing);
}

} // namespace

extern const Check left_off{{"left-off", messages::Level::error, "something is left off, or not moved back"},
                            When::end,
                            std::nullopt,
                            find_left_off};

} // namespace benchleaf::proof::checks
