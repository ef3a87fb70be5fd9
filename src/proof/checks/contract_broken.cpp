#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void judge(Moment& now, const Check& self) {
    if (!now.contracted) return;
    const auto elsewhere = now.some(
        now.at, [&](const Standing& s) { return !now.any_place && s.place_known() && s.place != now.wanted_place; });
    if (elsewhere) {
        Finding& finding = now.report(self,
                                      fmt::format("{{item}} is {}{{sides}}, and not {} as promised",
                                                  now.place_name(now.item, elsewhere->standing.place),
                                                  now.place_name(now.item, now.wanted_place)),
                                      elsewhere);
        finding.label = "promised here";
        finding.more.push_back(now.cause(now.item, elsewhere->standing));
        return;
    }
    const auto owing = now.some(now.at, [&](const Standing& s) { return (s.debts() & ~now.may_owe) != 0; });
    if (!owing) return;
    Finding& finding = now.report(self, "{item} still owes more{sides} than the contract says", owing);
    finding.label = "promised here";
    if (owing->standing.indebted != nullptr)
        finding.more.push_back({target_span(*owing->standing.indebted, now.item), "owed since here"});
}

} // namespace

extern const Check contract_broken{
    {"contract-broken", messages::Level::error, "something is not as `starts-with` or `ends-with` promises"},
    When::end,
    std::nullopt,
    judge};

} // namespace benchleaf::proof::checks
