#include "proof/check.h"
#include "proof/remedy.h"

#include <fmt/format.h>

namespace benchleaf::proof::checks {

namespace {

void find_level_too_early(Moment& now, const Check& self) {
    const model::Circuit& circuit = now.it().is.circuit_of;
    if (!circuit.settles_in || !circuit.sort) return;
    // Where something that comes before the level is still owed, that is told, and the level has to be read again behind it.
    std::uint64_t before = 0;
    const auto order = model::proofs(circuit.sort->value);
    for (const model::Proof& level : order)
        if (level.debt == model::Debt::level)
            for (const model::Proof& proof : order)
                if (proof.rank < level.rank)
                    before |= proof.debt == model::Debt::bleed ? vent_bits : model::bit(proof.debt);
    const auto bad = now.some(now.at, [](const Standing& s) { return (s.on & unsettled) != 0; });
    if (!bad || now.some(now.at, [&](const Standing& s) { return (s.bits & before) != 0; })) return;
    const std::string time = units::print(circuit.settles_in->value.quantity);
    Finding& finding =
        now.report(self, fmt::format("the {} is levelled{{sides}} before it has settled", now.name(now.item)), bad);
    if (const fitted::Row* by = bad->standing.coated)
        finding.more.push_back({target_span(*by, now.item), fmt::format("{} here", model::verb(by->verb).done)});
    finding.more.push_back({circuit.settles_in->span, "takes " + time + " to settle, and no less"});
    now.remedies->wait_before(now, finding, units::print(circuit.settles_in->value.quantity, {.plain_spaces = true}));
    finding.blamed.emplace_back(now.at, bad->standing);
    finding.told_on = unsettled;
}

} // namespace

extern const Check level_too_early{
    {"level-too-early", messages::Level::error, "the level of a circuit is read before its fluid has settled"},
    When::demand,
    model::Demand::settled,
    find_level_too_early};

} // namespace benchleaf::proof::checks
