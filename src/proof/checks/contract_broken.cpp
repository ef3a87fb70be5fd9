#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

// At a call the fault lies with who calls; at an end, with the promise or the work before it.
void finish(Moment& now, Finding& finding) {
    if (now.begins.empty()) {
        finding.label = "promised here";
        return;
    }
    finding.label = fmt::format("`{}` begins here", now.begins);
    if (now.promised.known())
        finding.more.push_back({now.promised, "asked for here"});
    else
        finding.more.push_back(now.declared(
            now.item, fmt::format("not in the `starts-with` of `{}`, so it has to be at rest", now.begins)));
    finding.help = fmt::format("bring it there before this, or say how it is in the `starts-with` of `{}`", now.begins);
}

void find_contract_broken(Moment& now, const Check& self) {
    if (!now.contracted) return;
    if (const auto anyhow = now.any_place ? std::nullopt : now.anyhow(now.at)) {
        const std::string wanted = now.place_name(now.item, now.wanted_place);
        Finding& finding = now.report(
            self,
            now.begins.empty()
                ? fmt::format("nobody says how {{item}} stands{{sides}} at the end, which promises it {}", wanted)
                : fmt::format("nobody says how {{item}} stands{{sides}} when `{}` begins; it has to be {}", now.begins,
                              wanted),
            anyhow);
        finish(now, finding);
        now.blame_anywhere(finding, now.at, *anyhow, now.wanted_place);
        return;
    }
    const auto elsewhere = now.some(
        now.at, [&](const Standing& s) { return !now.any_place && s.place_known() && s.place != now.wanted_place; });
    if (elsewhere) {
        const std::string is = now.place_name(now.item, elsewhere->standing.place);
        const std::string wanted = now.place_name(now.item, now.wanted_place);
        Finding& finding = now.report(
            self,
            now.begins.empty()
                ? fmt::format("{{item}} is {}{{sides}} at the end, and not {} as promised", is, wanted)
                : fmt::format("{{item}} is {}{{sides}} when `{}` begins; it has to be {}", is, now.begins, wanted),
            elsewhere);
        finish(now, finding);
        finding.more.push_back(now.cause(now.at, elsewhere->standing));
        if (now.begins.empty())
            now.remedies->bring_back(now, finding, elsewhere->standing);
        else
            now.remedies->bring_before_call(now, finding, elsewhere->standing);
        return;
    }
    const auto owing = now.some(now.at, [&](const Standing& s) { return (s.unfinished() & ~now.may_owe) != 0; });
    if (!owing) return;
    const std::string debts = debts_of(owing->standing.unfinished() & ~now.may_owe);
    Finding& finding = now.report(
        self,
        now.begins.empty()
            ? fmt::format("{{item}} still owes {}{{sides}} at the end, which the contract does not say", debts)
            : fmt::format("{{item}} still owes {}{{sides}} when `{}` begins", debts, now.begins),
        owing);
    finish(now, finding);
    if (auto since = now.debt_cause(now.at, owing->standing)) finding.more.push_back(std::move(*since));
    if (now.begins.empty()) now.remedies->pay(now, finding, owing->standing, owing->standing.debts() & ~now.may_owe);
}

} // namespace

extern const Check contract_broken{
    {"contract-broken", messages::Level::error, "something is not as `starts-with` or `ends-with` promises"},
    When::end,
    std::nullopt,
    find_contract_broken};

} // namespace benchleaf::proof::checks
