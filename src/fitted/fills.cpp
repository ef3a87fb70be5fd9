#include "fitted/fills.h"

#include "linked/look_over.h"
#include "model/verbs.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <vector>

namespace benchleaf::fitted {

namespace {

using model::VerbName;

struct Sum {
    const Row* first = nullptr;
    double litres = 0;
    const Row* last = nullptr;
    int fills = 0;
    bool first_unsaid = false; // it is filled up, and what follows is a drop more
    const Row* over = nullptr; // by which it came to be more than it holds
};
using Sums = std::map<ItemId, Sum>;

constexpr double most_litres = 100;
constexpr double slip_above = 10;
constexpr double slip_below = 1.0 / 500;

class FillWalk {
public:
    FillWalk(const Fit& fit, const SeeFills* see) : fit_(fit), see_(see) {}

    void circuits(const std::function<void(const Vast&)>& vast) const {
        for (std::size_t i = 0; i < fit_.items.size(); ++i)
            if (const double held = litres_held(ItemId(i));
                fit_.items.unnoted(i).present && (held >= most_litres || (held > 0 && held < least_litres(ItemId(i)))))
                vast({ItemId(i), nullptr});
    }

    void procedure(const Procedure& procedure) {
        Sums sums;
        fills_.clear();
        unnamed_.clear();
        for (const Section& section : procedure.sections) rows(section.rows, sums);
        for (const auto& [circuit, sum] : sums) {
            const double holds = litres_held(circuit);
            if (sum.over == nullptr && sum.fills > 1 && sum.litres >= holds * linked::whole_fill &&
                !is_drained(procedure, circuit))
                see_->filled({sum.last, circuit, true, false});
            else if (sum.over != nullptr)
                see_->filled({sum.over, circuit, true, sum.litres >= holds * slip_above});
            else if (const bool slip = sum.litres <= holds * slip_below;
                     !sum.first_unsaid && sum.litres < holds / 2 && (slip || is_drained(procedure, circuit)))
                see_->filled({sum.first, circuit, false, slip});
        }
        if (fills_.empty()) return;
        std::set<ItemId> bled;
        std::set<ProcedureIndex> seen;
        gather_bled(procedure, bled, seen);
        for (const Target* target : fills_) {
            const auto& vents = item(target->item).vented_by;
            const bool done = std::any_of(vents.begin(), vents.end(), [&](ItemId vent) { return bled.contains(vent); });
            const bool later = std::any_of(procedure.ends_with.begin(), procedure.ends_with.end(),
                                           [&](const linked::Entering& each) { return each.item == target->item; });
            const auto vent =
                std::find_if(vents.begin(), vents.end(), [&](ItemId each) { return fit_.items[each.index()].present; });
            if (!done && !later && vent != vents.end()) see_->unbled({target, *vent});
        }
    }

private:
    double least_litres(ItemId circuit) const {
        const auto& sort = item(circuit).circuit_of.sort;
        if (!sort) return 0;
        switch (sort->value) {
        case model::CircuitSort::coolant:
        case model::CircuitSort::engine_oil:
        case model::CircuitSort::fuel:
            return 0.1;
        default:
            return 0.004;
        }
    }
    const linked::Item& item(ItemId id) const { return fit_.items[id.index()].is; }

    // NaN where nobody says: every comparison with it is false.
    double litres_held(ItemId circuit) const {
        const auto& holds = item(circuit).circuit_of.holds;
        return holds ? units::value_in(holds->value.quantity, units::Unit::litre) : std::nan("");
    }

    void rows(const Rows& all, Sums& sums) {
        for (const Row& row : all) {
            if (row.kind == RowKind::verb && row.verb == VerbName::fill)
                for (const Target& target : row.targets) fill(row, target, sums);
            if (row.kind == RowKind::verb && row.verb == VerbName::bleed)
                for (const Target& target : row.targets) refill(target, item(target.item).vents);
            if (row.kind == RowKind::verb && row.verb == VerbName::level)
                for (const Target& target : row.targets) refill(target, target.item);
            if (row.kind == RowKind::question) {
                // One way or the other: the fuller one is looked at.
                Sums no = sums;
                rows(row.if_so, sums);
                rows(row.if_not, no);
                for (const auto& [circuit, sum] : no)
                    if (const auto yes = sums.find(circuit); yes == sums.end() || yes->second.litres < sum.litres)
                        sums.insert_or_assign(circuit, sum);
                continue;
            }
            rows(row.body, sums);
            rows(row.if_so, sums);
        }
    }

    // Once a circuit.
    void name(const Target& at, ItemId circuit) {
        if (!item(circuit).circuit_of.fluid && unnamed_.insert(circuit).second) see_->unnamed({&at, circuit});
    }

    // Fuel comes from the tank.
    void refill(const Target& at, ItemId circuit) {
        if (!circuit.known()) return;
        const auto& sort = item(circuit).circuit_of.sort;
        if (sort && sort->value != model::CircuitSort::fuel) name(at, circuit);
    }

    void fill(const Row& row, const Target& target, Sums& sums) {
        name(target, target.item);
        const auto& sort = item(target.item).circuit_of.sort;
        if (!sort) return;
        const auto proofs = model::proofs(sort->value);
        if (std::none_of(proofs.begin(), proofs.end(),
                         [](const model::Proof& proof) { return proof.debt == model::Debt::bleed; }))
            fills_.push_back(&target);
        const auto& amount = row.step->source->amount;
        const double litres = amount ? units::value_in(amount->value.quantity, units::Unit::litre) : 0;
        const double holds = litres_held(target.item);
        if (holds >= most_litres) return; // told
        if (!amount && std::isnan(holds) && sort->value != model::CircuitSort::hydraulic) see_->unsaid({&target});
        if (litres >= most_litres && !(litres >= holds * slip_above && sort->value != model::CircuitSort::hydraulic)) {
            see_->vast({target.item, &row});
            return;
        }
        // More than it holds goes through a brake that is flushed.
        if (sort->value == model::CircuitSort::hydraulic || row.targets.size() > 1) return;
        const auto [at, fresh] = sums.try_emplace(target.item);
        Sum& sum = at->second;
        if (fresh) sum.first = &row;
        if (!amount) {
            sum.first_unsaid = sum.first_unsaid || fresh;
            return;
        }
        sum.litres += litres;
        sum.last = &row;
        ++sum.fills;
        constexpr double rounding = 1e-9;
        if (sum.over == nullptr && sum.litres > holds * (1 + rounding)) sum.over = &row;
    }

    // Else it is topped up. The proof says of each way whether it is: `filled-undrained`.
    bool is_drained(const Procedure& procedure, ItemId circuit) const {
        std::set<ProcedureIndex> seen;
        return std::any_of(procedure.starts_with.begin(), procedure.starts_with.end(),
                           [&](const linked::Entering& each) {
                               return each.item == circuit && (each.owes & model::bit(model::Debt::fill)) != 0;
                           }) ||
               drains(procedure, circuit, seen);
    }
    bool drains(const Procedure& procedure, ItemId circuit, std::set<ProcedureIndex>& seen) const {
        return std::any_of(procedure.sections.begin(), procedure.sections.end(),
                           [&](const Section& section) { return drains(section.rows, circuit, seen); });
    }
    bool drains(const Rows& all, ItemId circuit, std::set<ProcedureIndex>& seen) const {
        return std::any_of(all.begin(), all.end(), [&](const Row& row) {
            if (row.kind == RowKind::verb &&
                (row.verb == VerbName::open || row.verb == VerbName::remove || row.verb == VerbName::move))
                for (const Target& target : row.targets)
                    if (target.item.known() && lets_out(target.item, circuit)) return true;
            if (row.calls.known() && seen.insert(row.calls).second &&
                drains(fit_.procedures[row.calls.index()], circuit, seen))
                return true;
            for (const Rows* inner : {&row.body, &row.if_so, &row.if_not, &row.otherwise})
                if (drains(*inner, circuit, seen)) return true;
            return false;
        });
    }
    bool lets_out(ItemId away, ItemId circuit) const {
        const auto present = [&](ItemId id) -> const linked::Item* {
            return fit_.items[id.index()].present ? &item(id) : nullptr;
        };
        const std::vector<ItemId> all = linked::lets_out(away, item(away), present);
        return std::find(all.begin(), all.end(), circuit) != all.end();
    }

    void gather_bled(const Procedure& procedure, std::set<ItemId>& bled, std::set<ProcedureIndex>& seen) const {
        for (const Section& section : procedure.sections) gather_bled(section.rows, bled, seen);
    }
    void gather_bled(const Rows& all, std::set<ItemId>& bled, std::set<ProcedureIndex>& seen) const {
        for (const Row& row : all) {
            // Who has the vent open lets the air out, too.
            if (row.kind == RowKind::verb &&
                (row.verb == VerbName::bleed || row.verb == VerbName::slacken || row.verb == VerbName::remove))
                for (const Target& target : row.targets) bled.insert(target.item);
            if (row.calls.known() && seen.insert(row.calls).second)
                gather_bled(fit_.procedures[row.calls.index()], bled, seen);
            for (const Rows* inner : {&row.body, &row.if_so, &row.if_not, &row.otherwise})
                gather_bled(*inner, bled, seen);
        }
    }

    const Fit& fit_;
    std::vector<const Target*> fills_; // of what is not bled by its sort
    std::set<ItemId> unnamed_;
    const SeeFills* see_;
};

} // namespace

void judge_holdings(const Fit& fit, const std::function<void(const Vast&)>& vast) {
    FillWalk(fit, nullptr).circuits(vast);
}

void judge_fills(const Fit& fit, const SeeFills& see) {
    FillWalk walk(fit, &see);
    for (const Procedure& procedure : fit.procedures) walk.procedure(procedure);
}

} // namespace benchleaf::fitted
