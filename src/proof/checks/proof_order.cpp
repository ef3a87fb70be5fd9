#include "proof/check.h"
#include "proof/remedy.h"

#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>
#include <span>
#include <string>
#include <vector>

namespace benchleaf::proof::checks {

namespace {

model::Debt paid_by(const model::Deed& deed) {
    for (const model::Effect effect : deed.effects) {
        switch (effect) {
        case model::Effect::pay_fill:
            return model::Debt::fill;
        case model::Effect::pay_bleed:
            return model::Debt::bleed;
        case model::Effect::pay_prime:
            return model::Debt::prime;
        case model::Effect::pay_circulate:
            return model::Debt::circulate;
        case model::Effect::pay_level:
            return model::Debt::level;
        case model::Effect::pay_leak_check:
            return model::Debt::leak_check;
        default:
            break;
        }
    }
    return model::Debt::locker;
}

std::uint64_t bits_of(model::Debt debt) {
    return debt == model::Debt::bleed ? vent_bits : model::bit(debt);
}

// `owed` in the order of the proofs: what comes later waits for the first of them.
void too_early(Moment& now, const Check& self, linked::ItemId circuit, fitted::InstanceId at,
               std::span<const model::Debt> owed) {
    const model::Debt first = owed.front();
    const auto bad = now.some(at, [&](const Standing& s) { return s.owes(first); });
    if (!bad) return;
    std::vector<std::string> words;
    std::uint64_t bits = 0;
    for (const model::Debt debt : owed) {
        words.push_back(fmt::format("`{}`", model::word(debt)));
        bits |= bits_of(debt);
    }
    Finding& finding = now.report(
        self,
        fmt::format("the {} is {} too early: it still owes {}", now.name(circuit), now.done(), base::join_and(words)),
        bad);
    now.blame_debt(finding, at, bad->standing, bits_of(first));
    if (owed.size() > 1 && now.remedies->prove_later(now, finding, circuit, owed)) {
        finding.told_debts = bits;
        return;
    }
    if (first != model::Debt::bleed) {
        now.remedies->prove_before(now, finding, circuit, first, bad->standing.indebted);
        // What was only loosened has lost little.
        if (first == model::Debt::fill && (bad->standing.on & still_in) != 0 &&
            now.of(circuit).is.circuit_of.sort->value != model::CircuitSort::hydraulic &&
            finding.help.starts_with("add `- fill:")) {
            finding.help += ", with how much is topped up in `amount`: nothing drained it";
            finding.mends.clear();
        }
        return;
    }
    const linked::Item& is = now.of(circuit).is;
    std::string vents;
    for (const linked::ItemId vent : is.vented_by) vents += (vents.empty() ? "" : ", ") + now.of(vent).is.id;
    if (is.vented_by.size() > 1) vents = "[" + vents + "]";
    if (vents.empty() || (bad->standing.bits & no_vent_bit) != 0)
        finding.help = name_a_vent(is) + ", and bleed it before this";
    else if (now.remedies->bleed_at_every_vent(now, finding, circuit))
        return;
    else if (const std::vector<std::string> steps{fmt::format("- bleed: {}", vents),
                                                  fmt::format("- torque: {}", vents)};
             !now.remedies->bleed_behind_fill(now, finding, circuit, steps))
        now.remedies->add_before(now, finding, steps, circuit);
}

void judge_circuit(Moment& now, const Check& self, linked::ItemId circuit) {
    const auto& sort = now.of(circuit).is.circuit_of.sort;
    if (!sort) return;
    const std::span<const model::Proof> order = model::proofs(sort->value);
    const model::Debt paying = paid_by(*now.deed);
    const auto own = std::find_if(order.begin(), order.end(), [&](const auto& proof) { return proof.debt == paying; });
    // What its sort does not ask for, such as a gearbox that is turned, needs the fluid all the same.
    const auto comes_before = [&](const model::Proof& proof) {
        return own != order.end() ? proof.rank < own->rank : proof.debt == model::Debt::fill;
    };
    for (const fitted::InstanceId at : now.beside(circuit)) {
        std::vector<model::Debt> owed;
        for (const model::Proof& proof : order)
            if (comes_before(proof) && now.some(at, [&](const Standing& s) { return s.owes(proof.debt); }))
                owed.push_back(proof.debt);
        if (!owed.empty()) too_early(now, self, circuit, at, owed);
    }
}

void judge_adjustment(Moment& now, const Check& self) {
    for (const linked::ItemId before : now.it().is.after) {
        if (!before.known() || !now.of(before).present) continue;
        if (now.of(before).is.sort != linked::Sort::adjustment) continue;
        for (const fitted::InstanceId at : now.beside(before)) {
            const auto bad = now.some(at, [](const Standing& s) { return s.owes(model::Debt::adjust); });
            if (!bad) continue;
            Finding& finding =
                now.report(self, fmt::format("{{item}} is adjusted{{sides}} before the {}", now.name(before)), bad);
            now.blame_debt(finding, at, bad->standing, model::bit(model::Debt::adjust));
            now.remedies->add_before(now, finding, {fmt::format("- adjust: {}", now.of(before).is.id)}, before);
        }
    }
}

void find_proof_order(Moment& now, const Check& self) {
    if (now.it().is.sort == linked::Sort::adjustment) return judge_adjustment(now, self);
    const linked::ItemId circuit = now.it().is.sort == linked::Sort::circuit ? now.item : now.it().is.vents;
    if (circuit.known()) judge_circuit(now, self, circuit);
}

} // namespace

extern const Check proof_order{
    {"proof-order", messages::Level::error, "a circuit or adjustment is proved before what comes first in its order"},
    When::demand,
    model::Demand::proofs_before,
    find_proof_order};

} // namespace benchleaf::proof::checks
