#include "proof/check.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

Finding& tell(Moment& now, const Check& self, const Moment::Used& used, linked::ConsumableId other,
              const std::string& where, const std::optional<Moment::Found>& found) {
    Finding& finding = now.report(self,
                                  fmt::format("the {} meets the {} {}, and the two must never mix",
                                              now.of(used.consumable).name, now.of(other).name, where),
                                  found);
    finding.at = used.span;
    if (found && found->standing.coated != nullptr)
        finding.more.push_back({target_span(*found->standing.coated, now.item), "the other one was put on here"});
    const source::Span said = now.substances->said(used.consumable, other);
    if (said.known()) finding.more.push_back({said, "never with the other one"});
    return finding;
}

void find_must_not_mix(Moment& now, const Check& self) {
    const std::vector<Moment::Used> all = now.used();
    for (std::size_t i = 0; i < all.size(); ++i) {
        const Moment::Used& used = all[i];
        const std::uint64_t enemies = now.substances->enemies(used.consumable);
        if (enemies == 0) continue;
        // What is used in the same step.
        for (std::size_t j = 0; j < i; ++j) {
            if ((now.substances->bit(all[j].consumable) & enemies) == 0) continue;
            tell(now, self, used, all[j].consumable, "in this step", std::nullopt).help = "use one of them alone";
        }
        // The fluid of the circuit that it gets into.
        for (const linked::ItemId circuit : now.circuits()) {
            const linked::ConsumableId fluid = now.of(circuit).is.fluid;
            if ((now.substances->bit(fluid) & enemies) == 0) continue;
            tell(now, self, used, fluid, fmt::format("in the {}", now.name(circuit)), std::nullopt).help =
                fmt::format("take one that may meet the {}", now.of(fluid).name);
        }
        // What is on the item. What is in a circuit was told when it got there.
        if (now.it().is.sort == linked::Sort::circuit) continue;
        const auto bad = now.some(now.at, [&](const Standing& s) { return (s.on & enemies) != 0; });
        if (!bad) continue;
        const std::uint64_t meets = bad->standing.on & enemies;
        Finding& finding = tell(now, self, used, now.substances->named(meets).front(), "on {item}{sides}", bad);
        finding.blamed.emplace_back(now.at, bad->standing);
        finding.told_on = meets;
        finding.help = "clean it between the two, with something that may meet both";
    }
}

} // namespace

extern const Check must_not_mix{{"must-not-mix", messages::Level::error, "two substances meet that must never mix"},
                                When::demand,
                                model::Demand::may_meet,
                                find_must_not_mix};

} // namespace benchleaf::proof::checks
