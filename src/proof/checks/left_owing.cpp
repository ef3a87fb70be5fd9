#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

std::string debts_of(std::uint64_t bits) {
    std::string words;
    for (std::size_t i = 0; i < model::debt_count; ++i) {
        const auto debt = static_cast<model::Debt>(i);
        const bool owed = debt == model::Debt::bleed ? (bits & vent_bits) != 0 : (bits & model::bit(debt)) != 0;
        if (owed) words += fmt::format("{}`{}`", words.empty() ? "" : ", ", model::word(debt));
    }
    return words;
}

void judge(Moment& now, const Check& self) {
    if (now.contracted) return;
    // A fastener that is left loose is told as that; its thread-locker is then part of the same work.
    if (now.it().is.sort == linked::Sort::fastener &&
        now.some(now.at, [](const Standing& s) { return s.place_known() && s.place != 0; }))
        return;
    const auto bad = now.some(now.at, [&](const Standing& s) { return (s.debts() & ~now.may_owe) != 0; });
    if (!bad) return;
    Finding& finding = now.report(
        self, fmt::format("{{item}} is left owing {}{{sides}}", debts_of(bad->standing.debts() & ~now.may_owe)), bad);
    if (bad->standing.indebted != nullptr) {
        finding.at = target_span(*bad->standing.indebted, now.item);
        finding.label = "owed since here";
    }
    finding.more.push_back(now.declared(now.item, "has to leave the shop ready"));
    finding.help = "add the steps that pay it, in this order, or say in `ends-with` that it is still owed";
}

} // namespace

extern const Check left_owing{
    {"left-owing", messages::Level::error, "a circuit, adjustment or fastener still owes a proof at the end"},
    When::end,
    std::nullopt,
    judge};

} // namespace benchleaf::proof::checks
