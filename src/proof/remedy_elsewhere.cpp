// Help for a step that could be done where another thing still stood, or will stand, as it asks.
#include "proof/remedy_steps.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof {

namespace {

using remedy::begins_at;
using remedy::comes_by;
using remedy::Debt;
using remedy::is_met;
using remedy::ItemId;
using remedy::needs_of;
using remedy::Place;
using remedy::Row;
using remedy::step;
using remedy::VerbName;

} // namespace

// -- Where a step could be done --------------------------------------------------------------------------------------------------

Remedies::Spell Remedies::spell_of(const Moment& now, const linked::Need& need) {
    Spell spell;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return spell;
    const Index& index = index_of(*procedure);
    const auto own = index.touches.find(now.item);
    const auto its = index.touches.find(need.item);
    const auto path = index.paths.find(now.row);
    if (own == index.touches.end() || its == index.touches.end() || path == index.paths.end()) return spell;
    const auto here = std::find_if(own->second.begin(), own->second.end(),
                                   [&](const Touch& each) { return each.path->back().row == now.row; });
    if (here == own->second.end()) return spell;
    // Whoever comes here has come by that row, too.
    const auto surely = [&](const Touch& each) { return comes_by(path->second, each); };
    Place stands = begins_at(*procedure, need.item);
    for (const Touch& each : its->second) {
        if (!each.brings || each.path->back().row == now.row) continue;
        const Row* row = each.path->back().row;
        if (each.order > here->order) {
            if (*each.brings == need.place && surely(each)) spell.begins = row;
            if (spell.begins != nullptr) break;
            continue;
        }
        if (stands == need.place && *each.brings != need.place) spell.ended = surely(each) ? row : nullptr;
        stands = *each.brings;
    }
    return spell;
}

void Remedies::slacken_earlier(const Moment& now, Finding& finding, const linked::Need& need, const Standing& other) {
    const linked::Item& item = now.it().is;
    const std::vector<std::string> steps{step(VerbName::slacken, item.id)};
    if (const Row* ended = spell_of(now, need).ended; ended != nullptr) {
        add_before(now, finding, steps, now.item, ended);
        finding.help +=
            fmt::format(": there the {} is still {}", now.name(need.item), now.place_name(need.item, need.place));
        return;
    }
    finding.help = fmt::format("slacken it first, in a step of its own, with the {} {}", now.name(need.item),
                               now.place_name(need.item, need.place));
    const auto came = now.some(now.at, [](const Standing& s) { return s.place <= 1 && s.placed == nullptr; });
    if (other.placed != nullptr || !came) return;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const bool said = now.entered != nullptr && now.entered->contains(now.at);
    const bool contract = procedure != nullptr && procedure->source->source->starts_with.has_value();
    const std::string entry = item.id + ": loose";
    finding.help = "where it comes loose, " +
                   (said       ? fmt::format("say `{}` in `starts-with`", entry)
                    : contract ? fmt::format("add `{}` to `starts-with`", entry)
                               : fmt::format("say `starts-with: {{ {} }}`", entry)) +
                   "; else " + finding.help;
}

// Help for a step that could be done until the row just before it: that row goes behind this one. False: other work stands between them.
bool Remedies::swap_with(const Moment& now, Finding& finding, ItemId item, const Row* ended) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr || ended == nullptr || ended == now.row) return false;
    // The step that the rounds begin with is missing, and may be what has to come in between.
    if (lost_round(*procedure)) return false;
    const Index& index = index_of(*procedure);
    const auto path = index.paths.find(now.row);
    const auto other = index.paths.find(ended);
    if (path == index.paths.end() || other == index.paths.end() || other->second.back().row != ended) return false;
    if (path->second.back().list != other->second.back().list) return false;
    const fitted::Rows* list = list_of(*procedure, *now.row);
    if (list == nullptr || ended < list->data() || ended >= now.row) return false;
    const auto touches = [&](const Row& row) {
        return row.kind != fitted::RowKind::plain &&
               (row.kind != fitted::RowKind::verb || row.calls.known() ||
                std::any_of(row.targets.begin(), row.targets.end(),
                            [&](const fitted::Target& t) { return t.item == item || t.item == now.item; }));
    };
    if (std::any_of(ended + 1, now.row, touches)) return false;
    finding.help = fmt::format("move {} after this step", says(*ended));
    finding.mends.clear();
    return true;
}

// Is there work in between that it was brought so for?
bool Remedies::used_between(const Moment& now, ItemId item, const Row* ended) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr || ended == nullptr) return false;
    const Index& index = index_of(*procedure);
    const auto from = index.orders.find(ended);
    const auto to = index.orders.find(now.row);
    const auto its = index.touches.find(item);
    if (from == index.orders.end() || to == index.orders.end() || its == index.touches.end()) return false;
    return std::any_of(its->second.begin(), its->second.end(),
                       [&](const Touch& each) { return each.order > from->second && each.order < to->second; });
}

bool Remedies::swap_with(const Moment& now, Finding& finding, const linked::Need& need) {
    if (now.of(need.item).is.sort == linked::Sort::setting || now.deed == nullptr) return false;
    const Row* ended = spell_of(now, need).ended;
    return !used_between(now, need.item, ended) && swap_with(now, finding, need.item, ended);
}

bool Remedies::prove_earlier(const Moment& now, Finding& finding, const linked::Need& need) {
    const Row* ended = spell_of(now, need).ended;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (ended == nullptr || procedure == nullptr || now.of(need.item).is.sort == linked::Sort::setting) return false;
    const fitted::Rows* list = list_of(*procedure, *now.row);
    if (list == nullptr || list != list_of(*procedure, *ended) || ended > now.row) return false;
    // What is done to the fluid in between has to come before.
    const auto moves_fluid = [&](const Row& row) {
        const bool fluid = row.verb == VerbName::fill || row.verb == VerbName::bleed || row.verb == VerbName::prime ||
                           row.verb == VerbName::circulate || row.verb == VerbName::open;
        return row.kind != fitted::RowKind::plain && (row.kind != fitted::RowKind::verb || fluid || row.calls.known());
    };
    if (std::any_of(ended, now.row, moves_fluid)) return false;
    finding.more.push_back({head_span(*ended), "move it before this"});
    finding.help = fmt::format("move this step before {}: there the {} is still {}", says(*ended), now.name(need.item),
                               now.place_name(need.item, need.place));
    return true;
}

bool Remedies::work_elsewhere(const Moment& now, Finding& finding, const linked::Need& need) {
    if (now.deed != nullptr && now.it().is.sort == linked::Sort::circuit) return prove_earlier(now, finding, need);
    if (now.deed == nullptr || now.of(need.item).is.sort != linked::Sort::setting) return false;
    if (now.it().is.sort != linked::Sort::fastener) return false;
    const Spell spell = spell_of(now, need);
    const bool loosens = now.deed->to == model::Leaves::loose && now.deed->from == model::Starts::tight_or_snug;
    const bool tightens = now.deed->to == model::Leaves::rest || now.deed->from == model::Starts::tight;
    const Row* row = loosens ? spell.ended : tightens ? spell.begins : nullptr;
    if (row == nullptr) return false;
    finding.more.push_back({head_span(*row), loosens ? "move it before this" : "move it behind this"});
    finding.help = fmt::format("move this step {} {}: there the {} is {}{}", loosens ? "before" : "after", says(*row),
                               now.name(need.item), loosens ? "still " : "", now.place_name(need.item, need.place));
    return true;
}

// The last step before that row by which something that opens it is not tight; null: none of this procedure.
const Row* Remedies::emptied_at(const Index& index, const linked::Item& circuit, const Row* row) const {
    const auto here = index.orders.find(row);
    const Touch* last = nullptr;
    for (const ItemId opener : circuit.openers)
        if (const auto touches = index.touches.find(opener); touches != index.touches.end())
            for (const Touch& touch : touches->second)
                if (touch.brings && *touch.brings != 0 && here != index.orders.end() && touch.order < here->second &&
                    (last == nullptr || touch.order > last->order))
                    last = &touch;
    return last == nullptr ? nullptr : last->path->back().row;
}

// The level that is read at an open plug is read before that goes in. What is filled in once is filled in before the rounds.
bool Remedies::prove_later(const Moment& now, Finding& finding, ItemId circuit, std::span<const Debt> owed) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return false;
    const Index& index = index_of(*procedure);
    const auto here = index.orders.find(now.row);
    const auto path = index.paths.find(now.row);
    const auto its = index.touches.find(circuit);
    if (here == index.orders.end() || path == index.paths.end() || its == index.touches.end()) return false;
    // Further down, where whoever comes by this step comes by, too.
    const auto surely = [&](const Touch& each) { return !each.narrowed && comes_by(path->second, each); };
    const Touch* last = nullptr;
    for (const Debt debt : owed) {
        const Touch* pays = nullptr;
        for (const Touch& each : its->second)
            if (each.order > here->second && model::verb(each.verb).word == model::word(debt) && surely(each))
                pays = &each;
        if (pays == nullptr) return false;
        if (last == nullptr || pays->order > last->order) last = pays;
    }
    if (last == nullptr) return false;
    // And where it stands by then as this step asks for.
    for (const linked::Need& need : needs_of(now.it().is, now.row->verb)) {
        const auto brought = need.item.known() ? index.touches.find(need.item) : index.touches.end();
        if (brought == index.touches.end()) continue;
        Place stands = begins_at(*procedure, need.item);
        for (const Touch& each : brought->second) {
            if (!each.brings || (each.order > last->order && stands == need.place)) continue;
            stands = *each.brings;
            if (each.order > last->order && stands == need.place && surely(each)) last = &each;
        }
    }
    finding.more.push_back({head_span(*last->path->back().row), "move it behind this"});
    finding.help = fmt::format("move this step after {}", says(*last->path->back().row));
    return true;
}

void Remedies::prove_before(const Moment& now, Finding& finding, ItemId circuit, Debt debt, const Row* owed) {
    const linked::Item& is = now.of(circuit).is;
    const std::vector<std::string> steps{fmt::format("- {}: {}", model::word(debt), is.id)};
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure != nullptr && debt == Debt::fill) {
        const Row* emptied = emptied_at(index_of(*procedure), is, now.row);
        const Row* round = round_apart(*procedure, *now.row, emptied != nullptr ? emptied : owed);
        if (round != nullptr && !round->body.empty())
            return add_before(now, finding, steps, circuit, &round->body.front());
    }
    if (procedure != nullptr && debt == Debt::level)
        if (const Row* reading = reading_of(*procedure, *now.row, circuit); reading != nullptr)
            return add_before(now, finding, steps, circuit, reading);
    for (const linked::While& condition : is.whiles) {
        if (model::verb(condition.verb).word != model::word(debt)) continue;
        for (const linked::Need& need : condition.needs) {
            if (!need.item.known() || !now.of(need.item).present) continue;
            const Row* ended = is_met(now, need) ? nullptr : spell_of(now, need).ended;
            if (ended == nullptr) continue;
            if (prove_later(now, finding, circuit, {&debt, 1})) return;
            add_before(now, finding, steps, circuit, ended);
            finding.help +=
                fmt::format(": there the {} is still {}", now.name(need.item), now.place_name(need.item, need.place));
            return;
        }
    }
    add_before(now, finding, steps, circuit);
}

bool Remedies::bleed_at_every_vent(const Moment& now, Finding& finding, ItemId circuit) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return false;
    const Index& index = index_of(*procedure);
    const auto here = index.orders.find(now.row);
    for (const ItemId vent : now.of(circuit).is.vented_by) {
        const auto touches = index.touches.find(vent);
        if (touches == index.touches.end() || here == index.orders.end()) continue;
        for (const Touch& each : touches->second) {
            if (each.verb != VerbName::bleed || !each.narrowed || each.order > here->second) continue;
            const Row& row = *each.path->back().row;
            finding.more.push_back({head_span(row), "not at every vent"});
            finding.help =
                fmt::format("take the `only` out of {}, or bleed the others in a step of their own", says(row));
            return true;
        }
    }
    return false;
}

bool Remedies::bleed_behind_fill(const Moment& now, Finding& finding, ItemId circuit,
                                 const std::vector<std::string>& steps) {
    const auto& sort = now.of(circuit).is.circuit_of.sort;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (!sort || sort->value != model::CircuitSort::coolant || procedure == nullptr) return false;
    const Index& index = index_of(*procedure);
    const auto here = index.orders.find(now.row);
    const auto touches = index.touches.find(circuit);
    if (here == index.orders.end() || touches == index.touches.end()) return false;
    const Touch* filled = nullptr;
    for (const Touch& each : touches->second)
        if (each.verb == VerbName::fill && each.order < here->second) filled = &each;
    if (filled == nullptr || filled->narrowed || filled->path->size() != 1 || filled->path->back().row->step == nullptr)
        return false;
    add_after(finding, *procedure, steps, circuit, *filled->path->back().row);
    return true;
}

} // namespace benchleaf::proof
