#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void judge(Moment& now, const Check& self) {
    if (now.contracted) return;
    // A fastener that is left loose is told as that; its thread-locker is then part of the same work.
    const bool fastener = now.it().is.sort == linked::Sort::fastener;
    const auto bad = now.some(
        now.at, [&](const Standing& s) { return (s.unfinished() & ~now.may_owe) != 0 && (!fastener || s.place == 0); });
    if (!bad) return;
    Finding& finding = now.report(
        self, fmt::format("{{item}} is left owing {}{{sides}}", debts_of(bad->standing.unfinished() & ~now.may_owe)),
        bad);
    if (auto since = now.debt_cause(now.at, bad->standing)) now.put_at(finding, std::move(*since));
    if (now.it().is.sort == linked::Sort::adjustment && bad->standing.coated != nullptr)
        finding.more.push_back(
            {head_span(*bad->standing.coated), "read here before it was set and tight, which proves nothing"});
    finding.more.push_back(now.declared(now.item, "has to leave the shop ready"));
    now.remedies->pay(now, finding, bad->standing, bad->standing.debts() & ~now.may_owe);
}

} // namespace

extern const Check left_owing{
    {"left-owing", messages::Level::error, "a circuit, adjustment or fastener still owes a proof at the end"},
    When::end,
    std::nullopt,
    judge};

} // namespace benchleaf::proof::checks
