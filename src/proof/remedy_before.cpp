// Help for a step that wants something done before it.
#include "proof/remedy_steps.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace benchleaf::proof {

namespace {

using remedy::brought_to;
using remedy::each_row;
using remedy::entering_of;
using remedy::ItemId;
using remedy::later;
using remedy::lines;
using remedy::moves_with_holders;
using remedy::Place;
using remedy::quoted;
using remedy::Row;
using remedy::step;
using remedy::VerbName;

} // namespace

// A part that is moved back further down, and does not come off before, was meant to be moved away: to that place. A fastener that is only
// tightened further down was meant to be slackened.
std::optional<Place> Remedies::moved_away(const Moment& now, ItemId part) {
    const linked::Item& is = now.of(part).is;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const bool screw = is.sort == linked::Sort::fastener;
    if (procedure == nullptr || (!screw && (is.sort != linked::Sort::part || is.places.size() != 3)))
        return std::nullopt;
    const Index& index = index_of(*procedure);
    const auto own = index.touches.find(now.item);
    const auto its = index.touches.find(part);
    if (own == index.touches.end() || its == index.touches.end()) return std::nullopt;
    const auto here = std::find_if(own->second.begin(), own->second.end(),
                                   [&](const Touch& each) { return each.path->back().row == now.row; });
    const auto next = std::find_if(its->second.begin(), its->second.end(), [&](const Touch& each) {
        return here != own->second.end() && each.order > here->order && each.brings;
    });
    if (next == its->second.end()) return std::nullopt;
    if (screw && (next->verb == VerbName::torque || next->verb == VerbName::snug)) return Place{2};
    if (screw || next->verb != VerbName::move || next->brings != Place{0}) return std::nullopt;
    return Place{1};
}

void Remedies::add_after(Finding& finding, const fitted::Procedure& procedure, const std::vector<std::string>& steps,
                         ItemId item, const Row& row) const {
    finding.help = fmt::format("add {} after {}", quoted(steps), says(row));
    finding.more.push_back({head_span(row), "add it after this whole step"});
    if (row.step != nullptr && on_every_vehicle(procedure, item))
        finding.mends.push_back({row.step->source->span, lines(steps), messages::Puts::entries_after});
}

// What goes back behind a question, whatever was answered, came off before it.
bool Remedies::looks_at(const Row& row, ItemId item) {
    if (row.kind != fitted::RowKind::verb) return false;
    if (row.verb == VerbName::inspect)
        return std::any_of(row.targets.begin(), row.targets.end(),
                           [item](const fitted::Target& target) { return target.item == item; });
    return row.verb == VerbName::measure &&
           std::any_of(row.limits.begin(), row.limits.end(), [item](const fitted::LimitUse& use) {
               return std::find(use.of.begin(), use.of.end(), item) != use.of.end();
           });
}

const Row* Remedies::before_question(const Index& index, const Row& row, ItemId item, Place from, Place to) const {
    const auto path = index.paths.find(&row);
    const auto its = index.touches.find(item);
    if (path == index.paths.end() || its == index.touches.end() || path->second.back().row != &row) return &row;
    for (const Rung& rung : path->second) {
        if (rung.row->kind != fitted::RowKind::question) continue;
        std::size_t last = 0; // within the question
        for (const auto& [inner, order] : index.orders)
            if (holds(rung.row->if_so, *inner) || holds(rung.row->if_not, *inner)) last = std::max(last, order);
        const auto next = std::find_if(its->second.begin(), its->second.end(),
                                       [&](const Touch& each) { return each.order > last && each.brings; });
        if (next == its->second.end() || *next->brings != from || from == to) continue;
        // What comes off is looked at and measured once it is off.
        const Row* before = rung.row;
        const bool off = to + 1U == fit_.items[item.index()].is.places.size();
        const fitted::Rows* list = rung.list;
        if (list == nullptr)
            for (const fitted::Procedure& procedure : fit_.procedures)
                for (const fitted::Section& section : procedure.sections)
                    if (!section.rows.empty() && before >= section.rows.data() && before <= &section.rows.back())
                        list = &section.rows;
        while (off && list != nullptr && before > list->data() && looks_at(*(before - 1), item)) --before;
        return before;
    }
    return &row;
}

bool Remedies::treat_before(const Moment& now, Finding& finding, ItemId cover, const Standing& standing) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const Row* back = standing.placed;
    if (procedure == nullptr || back == nullptr || back->verb != VerbName::fit) return false;
    const Index& index = index_of(*procedure);
    const auto here = index.orders.find(now.row);
    const auto there = index.orders.find(back);
    if (here == index.orders.end() || there == index.orders.end() || there->second > here->second) return false;
    // It comes off again further down, and this may be meant for then.
    if (const auto its = index.touches.find(cover); its != index.touches.end())
        for (const Touch& each : its->second)
            if (each.order > here->second && each.brings && *each.brings != 0) return false;
    finding.more.push_back({head_span(*back), "move it before this"});
    finding.help = fmt::format("move this step before {}", says(*back));
    return true;
}

// A part comes off right behind the last of what was in its way, where that is the procedure's own work.
bool Remedies::freed_before(const Moment& now, Finding& finding, const fitted::Procedure& procedure, const Index& index,
                            const Row& before, ItemId item, Place from, Place to) const {
    const linked::Item& is = now.of(item).is;
    if (is.sort != linked::Sort::part || from != 0 || to + 1U != is.places.size()) return false;
    const auto moves = moves_with_holders(now, item, from, to);
    const auto at = index.paths.find(&before);
    if (moves.size() != 1 || at == index.paths.end() || at->second.size() != 1) return false;
    const Touch* last = nullptr;
    for (const auto* others : {&is.behind, &is.held_by})
        for (const ItemId other : *others)
            if (const auto its = index.touches.find(other); its != index.touches.end())
                for (const Touch& each : its->second) {
                    const bool frees = each.brings && *each.brings != 0 && each.path->size() == 1;
                    const bool earlier = each.order < index.orders.at(&before);
                    if (frees && earlier && (last == nullptr || each.order > last->order)) last = &each;
                }
    if (last == nullptr || last->path->back().row->step == nullptr) return false;
    const Row& row = *last->path->back().row;
    add_after(finding, procedure, {step(moves.front().second.verb, moves.front().second.what)}, item, row);
    return true;
}

// A part that came off before the rounds, and that no round brings anywhere, goes back before them: right behind what it stands before.
bool Remedies::before_round(const Moment& now, Finding& finding, const fitted::Procedure& procedure, ItemId item,
                            Place from, Place to) {
    const linked::Item& is = now.of(item).is;
    if (is.sort != linked::Sort::part || to != 0 || from + 1U != is.places.size()) return false;
    const Row* off = nullptr;
    for (const fitted::InstanceId at : now.beside(item))
        if (const auto left = now.some(at, [&](const Standing& s) { return s.place_known() && s.place == from; }); left)
            off = left->standing.placed;
    const Row* round = round_apart(procedure, *now.row, off);
    const Index& index = index_of(procedure);
    const auto its = index.touches.find(item);
    if (round == nullptr || round->body.empty() || its == index.touches.end()) return false;
    const Touch* last = nullptr;
    for (const Touch& each : its->second) {
        const Row* row = each.path->back().row;
        if (each.brings && holds(round->body, *row)) return false;
        // What is done behind it, once it is off.
        if (!each.brings && each.order < index.orders.at(&round->body.front()) && each.path->size() == 1 &&
            (off == nullptr || each.order > index.orders.at(off)))
            last = &each;
    }
    std::vector<std::string> steps;
    for (const auto& [which, move] : moves_with_holders(now, item, from, to))
        steps.push_back(step(move.verb, move.what));
    if (last == nullptr || last->path->back().row->step == nullptr) {
        add_before(now, finding, steps, item, &round->body.front());
        return true;
    }
    add_after(finding, procedure, steps, item, *last->path->back().row);
    return true;
}

// A fastener is tightened with those that hold the same part, where that is done once it is on, and is no part of this step's own work.
bool Remedies::beside_sister(const Moment& now, Finding& finding, const fitted::Procedure& procedure,
                             const Index& index, ItemId item, Place from, Place to) const {
    const linked::Item& is = now.of(item).is;
    if (is.sort != linked::Sort::fastener || to != 0 || from == 0 || from + 1U == is.places.size()) return false;
    if (item == now.item || now.it().is.sort != linked::Sort::setting) return false;
    const auto here = index.orders.find(now.row);
    const auto path = index.paths.find(now.row);
    if (here == index.orders.end() || path == index.paths.end()) return false;
    std::size_t on = 0; // since when what it holds is on, and it is in
    const Touch* last = nullptr;
    for (const ItemId part : is.holds)
        if (const auto its = index.touches.find(part); its != index.touches.end())
            for (const Touch& each : its->second)
                if (each.order < here->second && each.brings) on = std::max(on, each.order);
    if (const auto own = index.touches.find(item); own != index.touches.end())
        for (const Touch& each : own->second) {
            if (each.order < here->second && each.brings) on = std::max(on, each.order);
            if (each.order > here->second && each.brings == to) return false; // it stands too late
        }
    for (const ItemId part : is.holds)
        for (const ItemId sister : now.of(part).is.held_by)
            if (const auto its = index.touches.find(sister); sister != item && its != index.touches.end())
                for (const Touch& each : its->second) {
                    const bool between = each.order > on && each.order < here->second;
                    if (between && each.brings == to && each.path->size() == 1 && path->second.size() == 1 &&
                        !each.narrowed && (last == nullptr || each.order > last->order))
                        last = &each;
                }
    if (last == nullptr) return false;
    for (const linked::While& condition : is.whiles) // which may not be so there
        if (condition.verb == VerbName::torque) return false;
    const Row& row = *last->path->back().row;
    if (row.step == nullptr) return false;
    add_after(finding, procedure, {step(VerbName::torque, is.id)}, item, row);
    return true;
}

// Does a way lead from the row to what stands further down? None does out of a list that ends the work.
bool Remedies::follows_here(const Index& index, const Row& row, const Touch& later) const {
    const auto path = index.paths.find(&row);
    if (path == index.paths.end()) return true;
    for (const Rung& rung : path->second) {
        if (rung.list == nullptr || rung.list->empty() || rung.list->back().kind != fitted::RowKind::stop) continue;
        if (std::none_of(later.path->begin(), later.path->end(),
                         [&](const Rung& each) { return each.list == rung.list; }))
            return false;
    }
    return true;
}

// The step behind which a pin goes in: that which tightens the nut that it locks.
const Row* Remedies::behind_its_nut(const Moment& now, const Index& index, ItemId pin) {
    const auto here = index.orders.find(now.row);
    const auto nut = index.touches.find(now.of(pin).is.locks);
    if (here == index.orders.end() || nut == index.touches.end()) return nullptr;
    const Touch* last = nullptr;
    for (const Touch& each : nut->second)
        if (each.brings && each.order < here->second) last = &each;
    const bool tightened = last != nullptr && last->brings == 0 && last->path->size() == 1 && !last->narrowed;
    if (!tightened || last->path->back().row->step == nullptr) return nullptr;
    // What the nut sets is read, and decided, before its pin goes in.
    std::map<std::size_t, const Row*> between;
    for (const auto& [row, order] : index.orders)
        if (order > last->order && order < here->second && row->step != nullptr && index.paths.at(row).size() == 1)
            between.emplace(order, row);
    const linked::Item& is = now.of(now.of(pin).is.locks).is;
    std::vector<ItemId> set{now.of(pin).is.locks};
    set.insert(set.end(), is.holds.begin(), is.holds.end());
    set.insert(set.end(), is.disturbs.begin(), is.disturbs.end());
    std::set<linked::LimitId> read;
    const Row* behind = last->path->back().row;
    for (const auto& in_order : between) {
        const Row* row = in_order.second;
        const bool reads = std::any_of(set.begin(), set.end(), [&](ItemId each) { return looks_at(*row, each); });
        const bool decides = row->kind == fitted::RowKind::question &&
                             std::any_of(row->limits.begin(), row->limits.end(),
                                         [&](const fitted::LimitUse& use) { return read.contains(use.figure.limit); });
        if (reads || decides) behind = row;
        if (reads)
            for (const fitted::LimitUse& use : row->limits) read.insert(use.figure.limit);
    }
    return behind;
}

// The step behind which a bolt that is loose is tightened, or a clip or bolt that is off goes in: once it is in, what it holds is on, and all that
// holds the same is in; not where it is too late.
const Row* Remedies::behind_its_fit(const Moment& now, const Index& index, ItemId item, Place from, Place to) const {
    const linked::Item& is = now.of(item).is;
    const auto here = index.orders.find(now.row);
    const auto path = index.paths.find(now.row);
    const auto own = index.touches.find(item);
    const bool tightens = is.sort == linked::Sort::fastener && from == 2 && to == 0;
    const bool goes_in = is.sort == linked::Sort::clip && from == 1 && to == 0;
    const bool has_its_time = std::any_of(is.whiles.begin(), is.whiles.end(), [](const linked::While& each) {
        return each.verb != VerbName::slacken && each.verb != VerbName::remove;
    });
    if ((!tightens && !goes_in) || item == now.item || has_its_time) return nullptr;
    if (is.locks.known()) return goes_in ? behind_its_nut(now, index, item) : nullptr;
    if (is.holds.empty() && !is.opens.known()) return nullptr;
    // What it sets, or what is set while it is loose, says when it is tightened.
    const bool sets = is.fastener.duty && is.fastener.duty->value == model::Duty::adjust;
    if (!is.disturbs.empty() || is.vents.known() || sets || own == index.touches.end()) return nullptr;
    if (here == index.orders.end() || path == index.paths.end() || path->second.size() != 1) return nullptr;
    std::vector<ItemId> together{item};
    for (const ItemId part : is.holds) {
        together.push_back(part);
        if (tightens) together.insert(together.end(), now.of(part).is.held_by.begin(), now.of(part).is.held_by.end());
    }
    const Touch* last = nullptr;
    bool put_in = goes_in;
    for (const ItemId each : together)
        if (const auto its = index.touches.find(each); its != index.touches.end())
            for (const Touch& touch : its->second) {
                if (!touch.brings || touch.order > here->second) continue;
                const bool puts_in = touch.verb == VerbName::fit && touch.path->size() == 1 && !touch.narrowed;
                // At last; what pinches stays in, and is only loose till then.
                if (each == item && tightens) put_in = puts_in || (is.pinches() && touch.verb == VerbName::slacken);
                if (puts_in && (last == nullptr || touch.order > last->order)) last = &touch;
            }
    if (!put_in || last == nullptr || last->path->back().row->step == nullptr) return nullptr;
    return last->path->back().row;
}

namespace {

// The values of its axis for which it stands there: "right".
std::string standing_in(const Moment& now, ItemId item, Place place) {
    const linked::AxisId axis = now.of(item).is.axis;
    std::vector<std::string> values;
    for (const fitted::InstanceId at : now.every(item)) {
        const fitted::AxisValue value = now.fit.instances[at.index()].value;
        if (value == fitted::no_value || !axis.known()) continue;
        if (now.some(at, [&](const Standing& s) { return s.place_known() && s.place == place; }))
            values.push_back(now.fit.axes[axis.index()].values[value]);
    }
    return base::join_and(values);
}

} // namespace

namespace {

bool has(const fitted::Section& section, const Row* wanted) {
    return std::any_of(section.rows.begin(), section.rows.end(), [&](const Row& row) { return &row == wanted; });
}

} // namespace

// What has none goes into the section before, which is worked once.
bool Remedies::in_once_section(const Moment& now, Finding& finding, const fitted::Procedure& procedure,
                               const std::vector<std::string>& steps, ItemId item, Place from) {
    const Index& index = index_of(procedure);
    const auto path = index.paths.find(now.row);
    if (path == index.paths.end() || path->second.back().row != now.row) return false;
    const Row* outer = path->second.front().row;
    const linked::Item& is = now.of(item).is;
    const Row* after = nullptr;
    const fitted::Section* last = nullptr; // of a setting
    bool here_once = true;
    for (const fitted::Section& section : procedure.sections) {
        if (has(section, outer)) {
            here_once = !section.bound;
            break;
        }
        if (section.bound || section.rows.empty()) continue;
        if (is.sort == linked::Sort::setting) {
            after = &section.rows.back();
            last = &section;
            // What holds something up goes where that is up: as early as what it needs itself is so.
            for (const Row& row : section.rows)
                if (sets_what_it_needs(is, row) && !needed_in(section.rows, row, item, from)) after = &row;
            continue;
        }
        // Behind what put it in, and those that hold the same part.
        std::vector<ItemId> sisters{item};
        for (const ItemId part : is.holds)
            sisters.insert(sisters.end(), now.of(part).is.held_by.begin(), now.of(part).is.held_by.end());
        for (const ItemId each : sisters)
            if (const auto its = index.touches.find(each); its != index.touches.end())
                for (const Touch& touch : its->second) {
                    const Row* row = touch.path->back().row;
                    const bool puts_in =
                        touch.brings && *touch.brings != is.places.size() - 1U && touch.verb != VerbName::slacken;
                    if (puts_in && touch.path->size() == 1 && has(section, row))
                        after = after == nullptr || after < row || !has(section, after) ? row : after;
                }
    }
    if (here_once) return false;
    if (after == nullptr) {
        if (is.sort != linked::Sort::setting) return false;
        finding.help = fmt::format("add {} before this section, in one with `once: true`", quoted(steps));
        return true;
    }
    if (after->step == nullptr || (is.sort != linked::Sort::setting && from + 1U == is.places.size())) return false;
    add_after(finding, procedure, steps, item, *after);
    finding.once = true;
    const bool named =
        last != nullptr && last->source != nullptr && last->source->source != nullptr && after == &last->rows.back();
    finding.help = named ? fmt::format("add {} at the end of the section `{}`, which is worked once", quoted(steps),
                                       last->source->source->section->value)
                         : finding.help + ", in the section that is worked once";
    return true;
}

// What has sides goes into the section that is worked side by side, not into the one behind it that is worked once.
bool Remedies::in_sided_section(const Moment& now, Finding& finding, const fitted::Procedure& procedure,
                                const std::vector<std::string>& steps, ItemId item, Place from) {
    if (!procedure.axis.known() || steps.empty()) return false;
    if (!now.of(item).is.axis.known()) return in_once_section(now, finding, procedure, steps, item, from);
    if (now.of(item).is.axis != procedure.axis) return false;
    const Index& index = index_of(procedure);
    const auto path = index.paths.find(now.row);
    if (path == index.paths.end() || path->second.back().row != now.row) return false;
    const Row* outer = path->second.front().row;
    const fitted::Section* sided = nullptr;
    // Behind the step that put it in, where it is tightened; else behind the last that does anything.
    const Row* after = nullptr;
    const auto its = index.touches.find(item);
    for (const fitted::Section& section : procedure.sections) {
        if (has(section, outer)) {
            if (section.bound) return false;
            // What this section itself took apart, it puts together.
            const auto here = index.orders.find(now.row);
            if (its != index.touches.end() && here != index.orders.end())
                for (const Touch& each : its->second)
                    if (each.brings == from && each.order < here->second && has(section, each.path->front().row))
                        return false;
            break;
        }
        if (!section.bound) continue;
        sided = &section;
        if (its == index.touches.end()) continue;
        for (const Touch& each : its->second)
            if (each.brings == from && each.verb == VerbName::fit && has(section, each.path->back().row))
                after = each.path->back().row;
    }
    if (sided == nullptr) return false;
    const bool put_in = after != nullptr;
    for (const Row& row : sided->rows) {
        const bool words =
            row.kind == fitted::RowKind::plain || (row.kind == fitted::RowKind::verb && row.verb == VerbName::record);
        if (from + 1U == now.of(item).is.places.size() || now.of(item).is.sort == linked::Sort::clip || !put_in)
            if (!words && (after == nullptr || after < &row)) after = &row;
    }
    if (after == nullptr || after->step == nullptr) return false;
    add_after(finding, procedure, steps, item, *after);
    return true;
}

void Remedies::before(const Moment& now, Finding& finding, ItemId item, Place from, Place to) {
    const Row* row = now.row;
    const fitted::Procedure* procedure = row != nullptr ? procedure_of(*row) : nullptr;
    // What the procedure that called this one left so is mended there, before the call.
    for (const fitted::InstanceId at : now.beside(item)) {
        const auto left = now.some(at, [&](const Standing& s) { return s.place == from && s.placed != nullptr; });
        const fitted::Procedure* by = left ? procedure_of(*left->standing.placed) : nullptr;
        if (procedure == nullptr || by == nullptr || by == procedure) continue;
        const auto call = index_of(*by).paths.find(row);
        if (call == index_of(*by).paths.end()) continue;
        row = call->second.back().row;
        procedure = by;
        break;
    }
    const Index* index = procedure != nullptr ? &index_of(*procedure) : nullptr;
    if (index != nullptr && row == now.row) row = before_question(*index, *row, item, from, to);
    if (index != nullptr && row == now.row && before_round(now, finding, *procedure, item, from, to)) return;
    if (row != now.row && index != nullptr && freed_before(now, finding, *procedure, *index, *row, item, from, to))
        return;
    // What is done to a thing next, further down, that brings it anywhere; and what after that.
    std::map<ItemId, std::vector<const Touch*>> further;
    const auto next_of = [&](ItemId which) -> std::vector<const Touch*>& {
        const auto [at, fresh] = further.try_emplace(which);
        if (!fresh || index == nullptr) return at->second;
        const auto own = index->touches.find(now.item);
        const auto its = index->touches.find(which);
        if (own == index->touches.end() || its == index->touches.end()) return at->second;
        const auto here = std::find_if(own->second.begin(), own->second.end(),
                                       [&](const Touch& each) { return each.path->back().row == row; });
        if (here == own->second.end()) return at->second;
        for (const Touch& each : its->second)
            if (each.order > here->order && each.brings && follows_here(*index, *row, each))
                at->second.push_back(&each);
        std::reverse(at->second.begin(), at->second.end());
        return at->second;
    };
    std::vector<std::string> late;
    std::vector<std::string> missing;
    std::vector<const Row*> late_rows;
    const auto moves = moves_with_holders(now, item, from, to);
    // The step is there, and its `only` leaves this side out.
    if (index != nullptr && !moves.empty() && moves.front().first == item)
        if (const auto its = index->touches.find(item); its != index->touches.end())
            for (const Touch& each : its->second) {
                const Row& narrow = *each.path->back().row;
                const auto at = index->paths.find(&narrow);
                const bool sided = now.of(item).is.axis == now.it().is.axis;
                if (!each.narrowed || each.verb != moves.front().second.verb || each.brings != to || &narrow == row ||
                    (!sided && now.it().is.axis.known()) || at == index->paths.end())
                    continue;
                const std::string values = sided ? "{values}" : standing_in(now, item, from);
                finding.more.push_back({target_span(narrow, item), "not here for " + values});
                finding.help = sided ? widened_step(narrow, item, values) : widened(says(narrow), values);
                return;
            }
    if (index != nullptr && row == now.row && beside_sister(now, finding, *procedure, *index, item, from, to)) return;
    // A ladder is gone up by steps of its own, and down by others: what goes the right way stands further down as a whole.
    bool ladder_late = true;
    if (now.of(item).is.sort == linked::Sort::setting) {
        std::vector<const Touch*> next = next_of(item);
        for (const auto& [which, move] : moves) {
            ladder_late = ladder_late && !next.empty() && next.back()->brings == move.to;
            // Within a ladder, only what was changed about.
            if (ladder_late && now.item == item && row != nullptr) {
                const auto path = index->paths.find(row);
                const auto other = index->paths.find(next.back()->path->back().row);
                ladder_late = path != index->paths.end() && other != index->paths.end() &&
                              path->second.back().list == other->second.back().list &&
                              next.back()->path->back().row == row + 1;
            }
            if (!next.empty()) next.pop_back();
        }
    }
    const linked::Item& brought = now.of(item).is;
    const bool goes_on = brought.sort == linked::Sort::part && from + 1U == brought.places.size() && to == 0;
    std::set<ItemId> in_further_down;
    for (const auto& [which, move] : moves) {
        if (in_further_down.contains(which)) continue;
        std::string text = step(move.verb, move.what);
        std::vector<const Touch*>& next = next_of(which);
        // What holds it may go in further down, where that can still be reached and nothing asks for it before.
        const std::vector<ItemId>& shut = now.it().is.covers;
        const bool may_follow = goes_on && which != item && now.it().is.sort != linked::Sort::setting &&
                                std::find(shut.begin(), shut.end(), which) == shut.end();
        if (may_follow && !next.empty() && next.back()->verb == move.verb && next.back()->brings == move.to) {
            in_further_down.insert(which);
            continue;
        }
        if (ladder_late && !next.empty() && next.back()->verb == move.verb && next.back()->brings == move.to &&
            !begins_rounds(*next.back())) {
            finding.more.push_back({target_span(*next.back()->path->back().row, which), "stands too late"});
            finding.late.emplace_back(next.back()->path->back().row, which);
            late_rows.push_back(next.back()->path->back().row);
            late.push_back(std::move(text));
            next.pop_back();
        } else {
            missing.push_back(std::move(text));
        }
    }
    // Alone missing, or alone too late.
    if (index != nullptr && row == now.row && late.size() + missing.size() == 1)
        if (const Row* fit = behind_its_fit(now, *index, item, from, to); fit != nullptr) {
            if (late.empty()) return add_after(finding, *procedure, missing, item, *fit);
            finding.more.push_back({head_span(*fit), "move it behind this whole step"});
            finding.help = fmt::format("move {} after {}", quoted(late), says(*fit));
            return;
        }
    if (late.empty() && row == now.row && call_before(now, finding, item, from, to)) return;
    // What `while` asks for is so on this side of it.
    const bool waits = std::any_of(brought.whiles.begin(), brought.whiles.end(), [&](const linked::While& each) {
        return !moves.empty() && each.verb == moves.front().second.verb;
    });
    if (late.empty() && row == now.row && procedure != nullptr && !waits &&
        (to < from || brought.sort == linked::Sort::setting) &&
        in_sided_section(now, finding, *procedure, missing, item, from))
        return;
    if (late.empty()) return add_before(now, finding, missing, item, row);
    finding.help = "move " + quoted(late);
    if (!missing.empty()) finding.help += " and add " + quoted(missing);
    // Not into rounds that it was no part of.
    if (row == now.row && index != nullptr)
        if (const auto path = index->paths.find(row); path != index->paths.end())
            for (const Rung& rung : path->second) {
                const fitted::Rows& body = rung.row->body;
                const bool apart = rung.row->kind == fitted::RowKind::repeat && !body.empty() && body.front().step &&
                                   std::none_of(late_rows.begin(), late_rows.end(),
                                                [&](const Row* each) { return holds(body, *each); });
                if (!apart || row == &body.front()) continue;
                finding.help += fmt::format(" before {}, where the rounds begin", says(body.front()));
                return;
            }
    finding.help += row == now.row ? " {before}" : " before " + says(*row);
}

// A setting that a procedure of the shop brings there is brought there by it: once, not side by side.
bool Remedies::call_before(const Moment& now, Finding& finding, ItemId item, Place from, Place to) {
    const fitted::Procedure* mine = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (mine == nullptr || now.of(item).is.sort != linked::Sort::setting) return false;
    const linked::Procedure* called = brings(now, item, from, to);
    if (called == nullptr || called == mine->source) return false;
    const std::string text = fmt::format("- do: {}", called->source->id.value);
    const Row* outer = index_of(*mine).paths.at(now.row).front().row;
    const fitted::Section* before = nullptr;
    for (const fitted::Section& section : mine->sections) {
        const bool here =
            std::any_of(section.rows.begin(), section.rows.end(), [&](const Row& r) { return &r == outer; });
        if (!here) {
            before = &section;
            continue;
        }
        if (!section.bound || called->each.known()) break;
        if (before == nullptr || before->bound || before->rows.empty() || before->rows.back().step == nullptr) {
            finding.help = fmt::format("add `{}` before this section, in one with `once: true`", text);
            return true;
        }
        const Row& last = before->rows.back();
        add_after(finding, *mine, {text}, item, last);
        finding.help += ", in the section before this one";
        finding.once = true;
        return true;
    }
    add_before(now, finding, {text}, item, now.row);
    return true;
}

bool Remedies::touched_before(const Moment& now, ItemId item) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return false;
    const Index& index = index_of(*procedure);
    const auto its = index.touches.find(item);
    return its != index.touches.end() && its->second.front().path->back().row != now.row;
}

void Remedies::bring_before_call(const Moment& now, Finding& finding, const Standing& standing) {
    const std::string said = fmt::format("say how it is in the `starts-with` of `{}`", now.begins);
    finding.help = fmt::format("bring it there before this, or {}", said);
    if (now.call == nullptr) return;
    Moment calling = now;
    calling.row = now.call;
    Finding add;
    before(calling, add, now.item, standing.place, now.wanted_place);
    if (!add.help.empty()) {
        const bool untold = standing.placed == nullptr && (now.entered == nullptr || !now.entered->contains(now.at));
        const bool enters = now.promised.known() && untold && !touched_before(calling, now.item);
        finding.help = add.help;
        finding.mends = std::move(add.mends);
        finding.late = std::move(add.late);
        finding.more.insert(finding.more.end(), add.more.begin(), add.more.end());
        if (!now.promised.known())
            finding.help += ", or " + said;
        else if (enters)
            finding.help += fmt::format(", or say `starts-with: {{ {}: {} }}`", now.it().is.id,
                                        now.place_name(now.item, now.wanted_place));
    }
    const linked::Procedure* meant = begins_so(now, standing.place);
    const fitted::Procedure* mine = procedure_of(*now.call);
    if (meant == nullptr || mine == nullptr || meant == mine->source) return;
    const std::string& name = meant->source->id.value;
    const bool same = finding.help.starts_with(fmt::format("add `- do: {}`", name));
    finding.help = fmt::format("did you mean `do: {}`? it begins with the {} {}{}", name, now.name(now.item),
                               now.place_name(now.item, standing.place), same ? "" : "; else " + finding.help);
    finding.mends.clear();
    finding.of_another = true;
}

void Remedies::add_before(const Moment& now, Finding& finding, const std::vector<std::string>& steps, ItemId item,
                          const Row* row) {
    if (steps.empty()) return;
    finding.help = fmt::format("add {} {}", quoted(steps), row == now.row ? "{before}" : "before " + says(*row));
    if (row != now.row) finding.more.push_back({head_span(*row), "add it before this"});
    const fitted::Procedure* procedure = row != nullptr ? procedure_of(*row) : nullptr;
    if (procedure == nullptr || row->step == nullptr) return;
    // What each round begins with goes into the round.
    const auto path = index_of(*procedure).paths.find(row);
    if (row == now.row && path != index_of(*procedure).paths.end() && row->step->source->id)
        for (const Rung& rung : path->second)
            if (rung.row->kind == fitted::RowKind::repeat && !rung.row->body.empty() &&
                &rung.row->body.front() == row && brought_within(*procedure, *rung.row, item)) {
                finding.help += fmt::format(" and give it the `id: {}` of this one, so that each round begins with it",
                                            row->step->source->id->value);
                return;
            }
    // The step that begins the rounds may be the one that is missing.
    std::vector<std::string> to_add = steps;
    if (const auto lost = lost_round(*procedure); lost && steps.size() == 1 && row == now.row) {
        to_add.front() += "\n  id: " + lost->id;
        finding.once = true; // behind the rounds that are lost nothing is known, of the other sides neither
        finding.help =
            fmt::format("add `{}` with `id: {}` {{before}}: there the rounds begin", steps.front(), lost->id);
        finding.tells = lost->span;
    }
    if (on_every_vehicle(*procedure, item))
        finding.mends.push_back({row->step->source->span, lines(to_add), messages::Puts::entries_before});
}

namespace {

void gather_rounds(const model::Steps& steps, std::set<std::string>& ids, std::map<std::string, source::Span>& froms) {
    for (const model::Step& step : steps) {
        if (step.id) ids.insert(step.id->value);
        if (step.again && step.again->value.from)
            froms.emplace(step.again->value.from->value.name, step.again->value.from->value.span);
        for (const model::Given<model::Steps>* below : {&step.if_so, &step.if_not, &step.steps})
            if (*below) gather_rounds((*below)->value, ids, froms);
    }
}

} // namespace

// A step that an `again` goes back to stays where it is.
bool Remedies::begins_rounds(const Touch& touch) {
    for (const Rung& rung : *touch.path)
        if (rung.row->kind == fitted::RowKind::repeat && !rung.row->body.empty() &&
            &rung.row->body.front() == touch.path->back().row)
            return true;
    return false;
}

// The one `id` from which an `again` goes round, and which no step has.
std::optional<Remedies::LostRound> Remedies::lost_round(const fitted::Procedure& procedure) {
    std::set<std::string> ids;
    std::map<std::string, source::Span> froms;
    if (procedure.source->source->steps) gather_rounds(procedure.source->source->steps->value, ids, froms);
    std::erase_if(froms, [&](const auto& from) { return ids.contains(from.first); });
    if (froms.size() != 1) return std::nullopt;
    return LostRound{froms.begin()->first, froms.begin()->second};
}

// What stands further down is to be moved; not beyond a step like this one, which it may belong to.
void Remedies::add_before(const Moment& now, Finding& finding, const std::vector<std::string>& steps, ItemId item) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    std::vector<std::string> late;
    std::vector<std::string> missing;
    for (const std::string& each : steps) {
        const Row* found = nullptr;
        bool behind = false;
        bool again = false;
        if (procedure != nullptr)
            each_row(*procedure, [&](const Row& row) {
                again = again || (behind && says(row) == says(*now.row));
                if (behind && !again && found == nullptr && says(row) == fmt::format("`{}`", each)) found = &row;
                behind = behind || &row == now.row;
            });
        (found == nullptr ? missing : late).push_back(each);
        if (found == nullptr) continue;
        finding.more.push_back(
            {found->targets.empty() ? head_span(*found) : found->targets.front().span, "stands too late"});
        finding.late.emplace_back(found, ItemId());
    }
    if (late.empty()) return add_before(now, finding, steps, item, now.row);
    finding.help = "move " + quoted(late) + (missing.empty() ? "" : " and add " + quoted(missing)) + " {before}";
}

void Remedies::lock_before_fit(const Moment& now, Finding& finding) {
    const linked::Item& item = now.it().is;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const Row* fits = nullptr;
    const Row* applied = nullptr; // behind
    bool behind = false;
    if (procedure != nullptr)
        each_row(*procedure, [&](const Row& row) {
            behind = behind || &row == now.row;
            if (row.kind != fitted::RowKind::verb || row.step == nullptr) return;
            if (std::none_of(row.targets.begin(), row.targets.end(), [&](const auto& t) { return t.item == now.item; }))
                return;
            if (!behind && row.verb == VerbName::fit) fits = &row;
            if (behind && applied == nullptr && row.verb == VerbName::apply && row.step->consumable == item.threadlock)
                applied = &row;
        });
    if (applied != nullptr && turned_between(*procedure, *now.row, *applied, now.item)) applied = nullptr;
    const std::string where = fits != nullptr ? "before " + says(*fits) : std::string("before the step that fits it");
    if (applied == nullptr) {
        finding.help = fmt::format("add `- apply: {}` with `to: {}` and the `amount` {}",
                                   linked_.consumables[item.threadlock.index()].id, item.id, where);
        if (fits != nullptr) finding.more.push_back({head_span(*fits), "add it before this"});
        return;
    }
    finding.more.push_back({target_span(*applied, now.item), "stands too late"});
    finding.late.emplace_back(applied, now.item);
    finding.help = fmt::format("move {} {}", says(*applied), where);
}

// By what opens it, where the vehicle has such: an `open` beside that would leave the plug in. Else as soon as what its `while` asks for is out of the way.
void Remedies::open_before(const Moment& now, Finding& finding, bool slackened) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return;
    const Index& index = index_of(*procedure);
    const auto here = index.orders.find(now.row);
    const linked::Item& is = now.it().is;
    const std::string topped_up = "; where it is only topped up, write how much in `amount`";
    const auto plug = std::find_if(is.openers.begin(), is.openers.end(),
                                   [&](ItemId opener) { return now.of(opener).present && !is.filled_through(opener); });
    if (plug != is.openers.end()) {
        const linked::Item& out = now.of(*plug).is;
        finding.help =
            fmt::format("where it is drained, take out what opens it for that, such as the {}: `{}`{}{}", out.name,
                        step(VerbName::remove, out.id),
                        slackened ? fmt::format("; where it runs out past what is only loose, say so while it "
                                                "is: `{}`",
                                                step(VerbName::open, is.id))
                                  : "",
                        topped_up);
        return;
    }
    const std::string text = step(VerbName::open, is.id);
    std::optional<Touch> freed;
    const auto frees = [&](ItemId item, Place place) {
        later(freed, index, item, [&](const Touch& touch) {
            return here != index.orders.end() && touch.order < here->second && touch.brings == place;
        });
    };
    for (const linked::While& condition : is.whiles)
        if (condition.verb == VerbName::open)
            for (const linked::Need& need : condition.needs) frees(need.item, need.place);
    if (const Row* row = freed ? row_for(index, *freed, now.row) : nullptr; row != nullptr && row->step != nullptr)
        add_after(finding, *procedure, {text}, now.item, *row);
    else
        finding.help = fmt::format("add `{}` before this step", text);
    finding.help = "where it is drained, " + finding.help + topped_up;
}

void Remedies::open_how(const Moment& now, Finding& finding, ItemId shut) {
    const linked::Item& plug = now.of(shut).is;
    finding.help =
        fmt::format("where the {} is taken out for it, write `{}` in place of this step; where it is let out "
                    "some other way, `say:` how",
                    plug.name, step(VerbName::remove, plug.id));
}

// Nothing stirs it in between. A wait that stands there is too short: waits are not added up.
void Remedies::wait_before(const Moment& now, Finding& finding, const std::string& time) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const fitted::Rows* list = procedure != nullptr ? list_of(*procedure, *now.row) : nullptr;
    if (list != nullptr && now.row != list->data()) {
        const Row& last = *(now.row - 1);
        if (last.kind == fitted::RowKind::verb && last.verb == VerbName::wait) {
            finding.more.push_back({head_span(last), "waits less"});
            finding.help = fmt::format("write `- wait: {}` there; waits are not added up", time);
            return;
        }
    }
    add_before(now, finding, {"- wait: " + time}, now.item, now.row);
    finding.help = fmt::format("add `- wait: {}` right before this step", time);
}

void Remedies::clean_before(const Moment& now, Finding& finding) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const std::string clean = step(VerbName::clean, now.it().is.id);
    const auto greasy = [&](linked::ConsumableId id) {
        const auto& sort = linked_.consumables[id.index()].figures.sort;
        return sort && (sort->value == model::ConsumableSort::lubricant || sort->value == model::ConsumableSort::fluid);
    };
    const std::string nothing_greasy = "clean it first, in a `clean` step, with nothing that leaves grease on it";
    finding.help = nothing_greasy;
    if (procedure == nullptr) return;
    // It is cleaned before, with grease: another `clean` would not say what is wrong.
    const Row* cleaned = nullptr;
    bool behind = false;
    bool with_grease = false;
    each_row(*procedure, [&](const Row& row) {
        behind = behind || &row == now.row;
        if (row.kind != fitted::RowKind::verb || row.verb != VerbName::clean) return;
        if (std::none_of(row.targets.begin(), row.targets.end(), [&](const auto& t) { return t.item == now.item; }))
            return;
        const auto& with = row.step->with_consumables;
        const bool is_greasy = std::any_of(with.begin(), with.end(), greasy);
        with_grease = with_grease || (!behind && is_greasy);
        if (behind && !is_greasy && cleaned == nullptr) cleaned = &row;
    });
    if (with_grease) return;
    const Index& index = index_of(*procedure);
    const auto here = index.paths.find(now.row);
    const auto there = index.paths.find(cleaned);
    const bool fits_in_between = cleaned != nullptr && here != index.paths.end() && there != index.paths.end() &&
                                 here->second.back().list == there->second.back().list;
    if (fits_in_between && turned_between(*procedure, *now.row, *cleaned, now.item)) cleaned = nullptr;
    if (fits_in_between && cleaned != nullptr) {
        finding.more.push_back({target_span(*cleaned, now.item), "stands too late"});
        finding.late.emplace_back(cleaned, now.item);
        finding.help = fmt::format("move {} {{before}}", says(*cleaned));
        return;
    }
    // With what the shop has for it, where that is one thing.
    std::vector<std::string> solvents;
    for (const linked::Consumable& each : linked_.consumables) {
        const auto& sees = procedure->source->sees;
        const bool seen = std::find(sees.begin(), sees.end(), each.catalogue) != sees.end();
        if (seen && each.figures.sort && each.figures.sort->value == model::ConsumableSort::solvent)
            solvents.push_back(each.id);
    }
    if (solvents.empty()) return;
    const std::string with = fmt::format("with: {}", solvents.front());
    add_before(now, finding, {clean + "\n  " + with}, now.item, now.row);
    if (solvents.size() > 1) finding.mends.clear();
    std::string any_of_them;
    for (const std::string& each : solvents)
        any_of_them += fmt::format("{}`with: {}`", any_of_them.empty() ? "" : " or ", each);
    finding.help = fmt::format("add `{}` with {} {{before}}", clean, any_of_them);
}

// Is the fastener fitted or taken out again between the two rows?
bool Remedies::turned_between(const fitted::Procedure& procedure, const Row& first, const Row& second,
                              ItemId item) const {
    bool between = false;
    bool turned = false;
    each_row(procedure, [&](const Row& row) {
        if (&row == &second) between = false;
        if (between && row.kind == fitted::RowKind::verb)
            for (const fitted::Target& target : row.targets)
                if (target.item == item && brought_to(row, fit_.items[item.index()].is, target.place) &&
                    row.verb != VerbName::fit)
                    turned = true;
        between = between || &row == &first;
    });
    return turned;
}

bool Remedies::worked_side_by_side(const Moment& now, Finding& finding, ItemId item, const Standing& standing) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr || standing.placed == nullptr || now.of(item).is.sort != linked::Sort::setting)
        return false;
    if (!procedure->axis.known() || now.of(item).is.axis.known()) return false;
    const Index& index = index_of(*procedure);
    const auto here = index.paths.find(now.row);
    const auto there = index.paths.find(standing.placed);
    const auto its = index.touches.find(item);
    if (here == index.paths.end() || there == index.paths.end() || its == index.touches.end()) return false;
    // The step that set it is this one, or one further down of the same section: it was set on the side before.
    const Row* outer = here->second.front().row;
    const Row* later = there->second.front().row;
    if (outer->kind == fitted::RowKind::repeat) return false;
    for (const fitted::Section& section : procedure->sections) {
        const auto holds_it = [&](const Row* r) {
            return std::any_of(section.rows.begin(), section.rows.end(), [&](const Row& each) { return &each == r; });
        };
        if (!section.bound || !holds_it(outer) || !holds_it(later) || later < outer) continue;
        if (later == outer && standing.placed != now.row) return false;
        const bool named = section.source != nullptr && section.source->source != nullptr;
        finding.help =
            named ? "this section is worked side by side, and sets what is there once: add `once: true` to it, "
                    "or set it back before the other side begins"
                  : "these steps are worked side by side, and set what is there once: begin them with "
                    "`- section: …` and `once: true`, or set it back before the other side begins";
        finding.mends.clear();
        if (named) finding.more.push_back({section.source->source->section->span, "worked side by side"});
        // Whatever else it sets is not where it would be.
        for (const auto& [which, touches] : index.touches) {
            if (now.of(which).is.sort != linked::Sort::setting || now.of(which).is.axis.known()) continue;
            if (std::none_of(touches.begin(), touches.end(),
                             [&](const Touch& each) { return each.brings && holds_it(each.path->front().row); }))
                continue;
            for (const fitted::InstanceId at : now.every(which))
                if (const auto stands = now.some(at, [](const Standing& s) { return s.place_known(); }); stands)
                    finding.blamed.emplace_back(at, stands->standing);
        }
        return true;
    }
    return false;
}

void Remedies::widen_instead(Finding& finding) const {
    constexpr std::string_view add = "add `";
    if (finding.value == fitted::no_value || !finding.help.starts_with(add)) return;
    const std::size_t end = finding.help.find('`', add.size());
    if (end == std::string::npos) return;
    const std::string wanted = finding.help.substr(add.size() - 1, end + 2 - add.size());
    const Row* narrow = nullptr;
    for (const fitted::Procedure& procedure : fit_.procedures) {
        if (procedure.source->source->id.span.file != finding.at.file) continue;
        each_row(procedure, [&](const Row& row) {
            if (narrow != nullptr || row.kind != fitted::RowKind::verb || row.only.empty() || says(row) != wanted)
                return;
            const bool other = row.verb == VerbName::apply &&
                               std::none_of(row.targets.begin(), row.targets.end(),
                                            [&](const fitted::Target& target) { return target.item == finding.item; });
            if (!other && std::find(row.only.begin(), row.only.end(), finding.value) == row.only.end()) narrow = &row;
        });
    }
    if (narrow == nullptr) return;
    finding.mends.clear();
    finding.more.push_back({head_span(*narrow), "not here for {values}"});
    finding.help = widened(wanted);
}

void Remedies::set_already(const Moment& now, Finding& finding, const Standing& standing) {
    if (worked_side_by_side(now, finding, now.item, standing)) return;
    const linked::Item& is = now.it().is;
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    finding.help = "leave this step out: it is so already";
    if (standing.placed != nullptr || procedure == nullptr) return;
    if (now.entered != nullptr && now.entered->contains(now.at)) {
        finding.help = "leave this step out, or correct `starts-with`";
        return;
    }
    // The rung beside it; towards rest, where there are two.
    const Place other = now.place > 0 ? static_cast<Place>(now.place - 1) : Place{1};
    if (other >= is.places.size()) return;
    const std::string entry = fmt::format("{}: {}", is.id, is.places[other].name);
    const std::string so = procedure->source->source->starts_with
                               ? fmt::format("add `{}` to `starts-with`", entry)
                               : fmt::format("say so: `starts-with: {{ {} }}`", entry);
    const bool left_so =
        std::any_of(linked_.procedures.begin(), linked_.procedures.end(), [&](const linked::Procedure& each) {
            const linked::Entering* ends = entering_of(each.ends_with, now.item);
            return ends != nullptr && ends->place == other;
        });
    finding.help =
        left_so ? fmt::format("where it begins otherwise, {}; else leave this step out", so)
                : fmt::format("add `{}` before this step; or, where it begins otherwise, {}; or leave this step out",
                              step(VerbName::set, fmt::format("{{ {} }}", entry)), so);
}

// Does a step of the round, other than its first, bring it anywhere?
bool Remedies::brought_within(const fitted::Procedure& procedure, const Row& repeat, ItemId item) {
    const Index& index = index_of(procedure);
    const auto touches = index.touches.find(item);
    return touches != index.touches.end() &&
           std::any_of(touches->second.begin(), touches->second.end(), [&](const Touch& each) {
               const Row* row = each.path->back().row;
               return each.brings && row != &repeat.body.front() && holds(repeat.body, *row);
           });
}

bool Remedies::tighten_behind_bleeding(const Moment& now, Finding& finding, ItemId vent, const Standing& standing) {
    const Row* bled = standing.placed;
    if (bled == nullptr || bled->verb != VerbName::bleed || bled->step == nullptr || now.row == nullptr) return false;
    const fitted::Procedure* procedure = procedure_of(*bled);
    if (procedure == nullptr || procedure != procedure_of(*now.row)) return false;
    const Index& index = index_of(*procedure);
    const auto touches = index.touches.find(vent);
    if (touches == index.touches.end()) return false;
    for (const Touch& touch : touches->second)
        if (touch.order > index.orders.at(bled) && touch.brings == Place{0}) return false; // it stands too late
    add_after(finding, *procedure, {step(VerbName::torque, now.of(vent).is.id)}, vent, *bled);
    return true;
}

bool Remedies::begins_round_loose(const Moment& now, Finding& finding) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return false;
    const Index& index = index_of(*procedure);
    const auto path = index.paths.find(now.row);
    const auto touches = index.touches.find(now.item);
    if (path == index.paths.end() || touches == index.touches.end()) return false;
    const auto round = std::find_if(path->second.begin(), path->second.end(), [&](const Rung& rung) {
        return rung.row->kind == fitted::RowKind::repeat && !rung.row->body.empty() &&
               &rung.row->body.front() == now.row;
    });
    if (round == path->second.end()) return false;
    std::optional<Place> comes_round;
    for (const Touch& touch : touches->second)
        if (touch.brings && touch.path->back().row != now.row && holds(round->row->body, *touch.path->back().row))
            comes_round = touch.brings;
    if (!comes_round || *comes_round > 1) return false;
    const std::string text = step(VerbName::snug, now.it().is.id);
    finding.help = fmt::format("add `{}` {{before}}: each round comes back to this step with it {}", text,
                               now.place_name(now.item, *comes_round));
    if (now.row->step != nullptr && on_every_vehicle(*procedure, now.item))
        finding.mends.push_back({now.row->step->source->span, lines({text}), messages::Puts::entries_before});
    return true;
}

void Remedies::slacken_first(const Moment& now, Finding& finding) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const std::string& id = now.it().is.id;
    const auto lost = procedure != nullptr ? lost_round(*procedure) : std::nullopt;
    if (lost) {
        finding.help =
            fmt::format("add `- slacken: {}` with `id: {}` {{before}}: there the rounds begin", id, lost->id);
        finding.tells = lost->span;
        finding.once = true;
        if (now.row->step != nullptr && on_every_vehicle(*procedure, now.item))
            finding.mends.push_back({now.row->step->source->span, fmt::format("- slacken: {}\n  id: {}", id, lost->id),
                                     messages::Puts::entries_before});
        return;
    }
    finding.help = fmt::format("add `- slacken: {0}` {{before}}, or write `- recheck: {0}`", id);
}

bool Remedies::tighten_before_question(const Moment& now, Finding& finding, const Standing& standing) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr || standing.place != 2 || !finding.answers.empty()) return false;
    const Index& index = index_of(*procedure);
    const auto path = index.paths.find(now.row);
    const auto touches = index.touches.find(now.item);
    if (path == index.paths.end() || touches == index.touches.end()) return false;
    const auto question = std::find_if(path->second.begin(), path->second.end(),
                                       [](const Rung& rung) { return rung.row->kind == fitted::RowKind::question; });
    if (question == path->second.end()) return false;
    // Nothing brings it anywhere in the question before this step; the last that has to do with it before the question.
    const std::size_t asked = index.orders.at(question->row);
    const std::size_t here = index.orders.at(now.row);
    const Touch* last = nullptr;
    for (const Touch& each : touches->second) {
        if (each.order > asked && each.order < here && each.brings) return false;
        if (each.order < asked && each.path->size() == 1 && !each.narrowed) last = &each;
    }
    const std::string text = step(VerbName::torque, now.it().is.id);
    if (last == nullptr || last->path->back().row->step == nullptr || path->second.size() < 2 ||
        question != path->second.begin()) {
        finding.help = fmt::format("add `{}` before {}", text, says(*question->row));
        finding.more.push_back({head_span(*question->row), "add it before this"});
        return true;
    }
    add_after(finding, *procedure, {text}, now.item, *last->path->back().row);
    return true;
}

bool Remedies::finish_first(const Moment& now, Finding& finding, const std::vector<ItemId>& items) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return false;
    const Index& index = index_of(*procedure);
    const auto path = index.paths.find(now.row);
    const auto own = index.touches.find(now.item);
    if (path == index.paths.end() || own == index.touches.end()) return false;
    const auto here = std::find_if(own->second.begin(), own->second.end(),
                                   [&](const Touch& each) { return each.path->back().row == now.row; });
    if (here == own->second.end()) return false;
    // It goes on once more, with nothing that takes it off in between: this one is too much.
    const auto next = std::find_if(here + 1, own->second.end(), [](const Touch& each) { return each.brings; });
    if (next != own->second.end() && next->verb == here->verb && next->brings == here->brings) {
        finding.more.push_back({target_span(*next->path->back().row, now.item), "goes on here"});
        finding.late.emplace_back(next->path->back().row, now.item);
        finding.help = fmt::format("take this step out: {} stands again further down", says(*next->path->back().row));
        return true;
    }
    const Touch* last = nullptr;
    for (const ItemId item : items) {
        const auto its = index.touches.find(item);
        if (its == index.touches.end()) return false;
        const Touch* finished = nullptr;
        for (const Touch& each : its->second) {
            if (each.order <= here->order || !each.brings || finished != nullptr) continue;
            finding.late.emplace_back(each.path->back().row, item);
            if (each.brings == Place{0}) finished = &each;
        }
        if (finished == nullptr || finished->path->back().list != path->second.back().list) {
            finding.late.clear();
            return false;
        }
        if (last == nullptr || finished->order > last->order) last = finished;
    }
    if (last == nullptr) return false;
    for (const auto& [row, item] : finding.late)
        finding.more.push_back(
            {target_span(*row, item), row == last->path->back().row ? "move it behind this" : "belongs before it"});
    finding.help = fmt::format("move this step after {}", says(*last->path->back().row));
    return true;
}

} // namespace benchleaf::proof
