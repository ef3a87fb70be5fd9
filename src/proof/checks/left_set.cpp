#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_left_set(Moment& now, const Check& self) {
    const linked::Item& item = now.it().is;
    if (item.sort != linked::Sort::setting || now.contracted || item.rests_anywhere) return;
    const auto bad =
        now.some(now.at, [&](const Standing& s) { return s.place_known() && s.place != now.wanted_place; });
    if (!bad) return;
    Finding& finding = now.report(
        self, fmt::format("{{item}} is left {}{{sides}}", now.place_name(now.item, bad->standing.place)), bad);
    now.put_at(finding, now.cause(now.at, bad->standing));
    finding.more.push_back(now.declared(now.item, fmt::format("rests {}", item.places[now.wanted_place].name)));
    finding.blamed.emplace_back(now.at, bad->standing);
    now.remedies->bring_back(now, finding, bad->standing);
}

} // namespace

extern const Check left_set{{"left-set", messages::Level::error, "a setting does not come back to rest"},
                            When::end,
                            std::nullopt,
                            find_left_set};

} // namespace benchleaf::proof::checks
