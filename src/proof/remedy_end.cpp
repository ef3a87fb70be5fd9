// Help for what a procedure, or a job, leaves as it may not be.
#include "proof/remedy_steps.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof {

namespace {

using remedy::any;
using remedy::bringing;
using remedy::brought_to;
using remedy::Debt;
using remedy::each_row;
using remedy::entering_of;
using remedy::ItemId;
using remedy::later;
using remedy::moves_between;
using remedy::one_or_list;
using remedy::Place;
using remedy::quoted;
using remedy::Row;
using remedy::step;
using remedy::VerbName;

} // namespace

namespace {

// How `ends-with` says it.
std::string ends_so(const Moment& now, const std::string& entry) {
    if (now.contracted) return fmt::format("say `{}` in `ends-with`", entry);
    const bool contract = now.ended != nullptr && now.ended->source->source->ends_with.has_value();
    return contract ? fmt::format("add `{}` to `ends-with`", entry) : fmt::format("say `ends-with: {{ {} }}`", entry);
}

} // namespace

// The last row of a procedure that is more than words, where what is not of a side can be done behind it.
std::optional<Remedies::Touch> Remedies::last_work(const fitted::Procedure& procedure, const Index& index) const {
    const Row* last = nullptr;
    bool bound = false;
    for (const fitted::Section& section : procedure.sections)
        for (const Row& row : section.rows) {
            const bool words =
                row.kind == fitted::RowKind::plain ||
                (row.kind == fitted::RowKind::verb &&
                 (row.verb == VerbName::record || row.verb == VerbName::wait || row.verb == VerbName::mark));
            if (words) continue;
            last = &row;
            bound = section.bound;
        }
    const auto path = index.paths.find(last);
    if (last == nullptr || bound || path == index.paths.end()) return std::nullopt;
    Touch touch;
    touch.path = &path->second;
    touch.order = index.rows + 1;
    return touch;
}

// In a job, the procedure behind it begins with the thing there.
bool Remedies::begins_next(const fitted::Procedure& procedure, ItemId item, Place place) const {
    for (const linked::Job& job : linked_.jobs)
        for (std::size_t i = 0; i + 1 < job.procedures.size(); ++i) {
            if (job.procedures[i].first != procedure.id || !job.procedures[i + 1].first.known()) continue;
            const linked::Entering* begins =
                entering_of(linked_.procedures[job.procedures[i + 1].first.index()].starts_with, item);
            if (begins != nullptr && begins->place == place) return true;
        }
    return false;
}

std::string Remedies::left_so_before(const Moment& now, const linked::Need& need) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    if (procedure == nullptr) return {};
    for (const linked::Job& job : linked_.jobs)
        for (std::size_t i = 1; i < job.procedures.size(); ++i) {
            if (job.procedures[i].first != procedure->id || !job.procedures[i - 1].first.known()) continue;
            const linked::Procedure& before = linked_.procedures[job.procedures[i - 1].first.index()];
            const linked::Entering* ends = entering_of(before.ends_with, need.item);
            if (ends != nullptr && ends->has_place && ends->place == need.place) return before.source->id.value;
        }
    return {};
}

// Each job of the shop that has it ends with it.
bool Remedies::always_last(const fitted::Procedure& procedure) const {
    bool found = false;
    for (const linked::Job& job : linked_.jobs)
        for (std::size_t i = 0; i < job.procedures.size(); ++i) {
            if (job.procedures[i].first != procedure.id) continue;
            if (i + 1 != job.procedures.size()) return false;
            found = true;
        }
    return found;
}

// The first step that brings anywhere what is set together with the fastener, or what it holds.
const Row* Remedies::first_work_beside(const Moment& now, const Index& index) const {
    std::vector<ItemId> beside = now.it().is.holds;
    for (std::size_t i = 0; i < fit_.items.size(); ++i) {
        const linked::Item& is = fit_.items[i].is;
        if (!fit_.items[i].present || is.sort != linked::Sort::adjustment) continue;
        const bool by_while = std::any_of(is.whiles.begin(), is.whiles.end(), [&](const linked::While& each) {
            return std::any_of(each.needs.begin(), each.needs.end(),
                               [&](const linked::Need& need) { return need.item == now.item; });
        });
        const bool disturbs =
            std::find(is.disturbed_by.begin(), is.disturbed_by.end(), now.item) != is.disturbed_by.end();
        if (!by_while && !disturbs) continue;
        beside.emplace_back(i);
        beside.insert(beside.end(), is.disturbed_by.begin(), is.disturbed_by.end());
    }
    for (std::size_t i = beside.size(); i > 0; --i) {
        const std::vector<ItemId>& holders = now.of(beside[i - 1]).is.held_by;
        beside.insert(beside.end(), holders.begin(), holders.end());
    }
    const Touch* first = nullptr;
    for (const ItemId each : beside)
        if (const auto its = index.touches.find(each); its != index.touches.end())
            for (const Touch& touch : its->second)
                if (touch.path->size() == 1 && (first == nullptr || touch.order < first->order)) first = &touch;
    return first == nullptr ? nullptr : first->path->back().row;
}

void Remedies::bring_back(const Moment& now, Finding& finding, const Standing& standing) {
    static const Index nothing;
    const Index& index = now.ended != nullptr ? index_of(*now.ended) : nothing;
    const linked::Item& item = now.it().is;
    const Place from = standing.place;
    const bool bolted = item.sort == linked::Sort::fastener || item.sort == linked::Sort::clip;
    Steps first;
    later(first.after, index, now.item, any);
    if (bolted && now.wanted_place + 1U != item.places.size())
        for (const ItemId part : item.holds) {
            later(first.after, index, part, bringing(0));
            for (const ItemId sister : now.of(part).is.held_by) // all are in before one is tightened
                if (sister != now.item)
                    later(first.after, index, sister, [](const Touch& touch) {
                        return touch.brings && *touch.brings <= 2 && touch.verb != VerbName::slacken;
                    });
        }
    // A part comes off once what stands before it and what holds it are out of the way.
    if (item.sort == linked::Sort::part && now.wanted_place != 0)
        for (const auto* others : {&item.behind, &item.held_by})
            for (const ItemId other : *others)
                later(first.after, index, other, [](const Touch& touch) { return touch.brings && *touch.brings != 0; });
    // What the vehicle stands on goes last; what a round sets, it brings back at its own end.
    if (item.sort == linked::Sort::setting && now.wanted_place == 0 && now.ended != nullptr) {
        const Row* round = standing.placed != nullptr ? round_apart(*now.ended, *standing.placed, nullptr) : nullptr;
        const auto in_round = round != nullptr ? index.paths.find(&round->body.back()) : index.paths.end();
        if (in_round != index.paths.end()) {
            first.after = Touch{};
            first.after->path = &in_round->second;
            first.after->order = index.rows + 1;
        } else if (const auto last = last_work(*now.ended, index); last) {
            first.after = last;
        }
    }
    // A pin goes in right behind its nut.
    if (item.sort == linked::Sort::clip && now.wanted_place == 0 && item.locks.known())
        later(first.after, index, item.locks, bringing(0));
    const bool steps_follow = index.touches.contains(now.item);
    // A lock nut that nothing touches is let go where the work begins that it locks.
    if (!steps_follow && standing.placed == nullptr && item.sort == linked::Sort::fastener && now.wanted_place > from)
        first.before = first_work_beside(now, index);
    std::vector<Steps> steps;
    VerbName last{};
    for (const auto& [verb, what, to] : moves_between(item, from, now.wanted_place)) {
        Steps more = first;
        more.all.push_back(step(verb, what));
        wait_for_needs(now, index, verb, standing.placed, standing.placed == nullptr && !steps_follow, more);
        steps.push_back(std::move(more));
        last = verb;
    }
    if (now.of_job) return ask_for_procedure(now, finding, standing, 0, steps);
    // What the procedure begins with and leaves alone, most likely stays so.
    const bool goes_on = now.ended != nullptr && begins_next(*now.ended, now.item, from);
    const bool left_alone =
        !now.contracted &&
        (goes_on || (standing.placed == nullptr && (now.ended == nullptr || !always_last(*now.ended))));
    if (widen(now, finding, index, last, standing.placed)) return;
    put(now, finding, index, steps, standing.placed, from);
    finding.leaves = fmt::format("{}: {}", item.id, now.place_name(now.item, from));
    const std::string stays = ends_so(now, finding.leaves);
    const bool waits = std::any_of(steps.begin(), steps.end(), [](const Steps& each) { return !each.once.empty(); });
    const bool asked_for =
        now.contracted && now.ended != nullptr && begins_next(*now.ended, now.item, now.wanted_place);
    if (asked_for && !waits) return;
    if (left_alone || waits) {
        finding.help = stays + ", or " + finding.help;
        finding.mends.clear();
    } else if (item.sort != linked::Sort::fastener || from + 1U == item.places.size() || now.contracted) {
        finding.help += ", or " + stays;
    } else {
        finding.help += ", or, where another procedure tightens it, " + stays; // seldom meant so
    }
}

namespace {

bool uses(const Row& row, linked::LimitId limit) {
    return std::any_of(row.limits.begin(), row.limits.end(),
                       [&](const fitted::LimitUse& use) { return use.figure.limit == limit; });
}

} // namespace

// Does anything rest on the limit behind the one row and before the other?
bool Remedies::decides_by(const fitted::Procedure& procedure, const Row* after, const Row* before,
                          linked::LimitId limit) const {
    bool behind = after == nullptr;
    bool found = false;
    each_row(procedure, [&](const Row& row) {
        if (&row == before) behind = false;
        if (behind && row.kind != fitted::RowKind::verb && uses(row, limit)) found = true;
        if (&row == after) behind = true;
    });
    return found;
}

std::string Remedies::read_again(const Row* read, const Row& now, linked::LimitId limit) {
    const std::string text = step(VerbName::measure, linked_.limits[limit.index()].id);
    const fitted::Procedure* procedure = procedure_of(now);
    const bool waits = read != nullptr && read->limits.size() == 1 && procedure != nullptr &&
                       procedure_of(*read) == procedure && !decides_by(*procedure, read, &now, limit);
    return fmt::format("{} `{}`", waits ? "move" : "add", text);
}

// What is set is set before it is read.
const Row* Remedies::set_before_reading(const Moment& now, const Index& index, const std::optional<Touch>& freed,
                                        const Row* cause) const {
    const linked::Item& item = now.it().is;
    const bool waits = std::any_of(item.whiles.begin(), item.whiles.end(),
                                   [](const linked::While& each) { return each.verb == VerbName::adjust; });
    if (now.ended == nullptr || (waits && !freed)) return nullptr;
    const Row* from = freed ? freed->path->back().row : cause;
    bool behind = from == nullptr; // it came so
    const Row* reading = nullptr;
    each_row(*now.ended, [&](const Row& row) {
        const bool reads = row.kind == fitted::RowKind::verb && row.verb == VerbName::measure &&
                           std::any_of(item.proved_by.begin(), item.proved_by.end(),
                                       [&](linked::LimitId limit) { return limit.known() && uses(row, limit); });
        if (behind && reads && reading == nullptr) reading = &row;
        behind = behind || &row == from;
    });
    const auto path = index.paths.find(reading);
    if (reading == nullptr || path == index.paths.end() || path->second.back().row != reading) return nullptr;
    // Where it is fastened again before it is read, before that.
    const Row* before = reading;
    behind = false;
    each_row(*now.ended, [&](const Row& row) {
        behind = behind && &row != reading;
        if (behind && before == reading)
            for (const linked::While& condition : item.whiles)
                for (const linked::Need& need : condition.needs)
                    for (const fitted::Target& target : row.targets)
                        if (condition.verb == VerbName::adjust && target.item == need.item &&
                            brought_to(row, fit_.items[need.item.index()].is, target.place).value_or(need.place) !=
                                need.place)
                            before = &row;
        behind = behind || &row == from;
    });
    const auto way = index.paths.find(before);
    const bool beside = way != index.paths.end() && way->second.back().list == path->second.back().list;
    return beside ? before : nullptr;
}

// Is the limit measured in the procedure behind that row?
bool Remedies::measured_after(const fitted::Procedure& procedure, const Row* row, std::string_view limit) const {
    bool behind = row == nullptr;
    const std::function<bool(const fitted::Rows&)> look = [&](const fitted::Rows& rows) {
        return std::any_of(rows.begin(), rows.end(), [&](const Row& each) {
            if (behind && each.kind == fitted::RowKind::verb && each.verb == VerbName::measure)
                for (const fitted::LimitUse& use : each.limits)
                    if (use.figure.limit.known() && linked_.limits[use.figure.limit.index()].id == limit) return true;
            behind = behind || &each == row;
            return look(each.if_so) || look(each.if_not) || look(each.body) || look(each.otherwise);
        });
    };
    return std::any_of(procedure.sections.begin(), procedure.sections.end(),
                       [&](const fitted::Section& section) { return look(section.rows); });
}

// The row of the same list as the reading which the step would stand behind; null: there is none, or it is more than a step.
const Row* Remedies::put_behind(const Index& index, const Steps& steps, const Standing& standing) const {
    if (!steps.after || steps.before != nullptr) return nullptr;
    const Row* row = row_for(index, *steps.after, standing.indebted);
    const auto here = index.paths.find(row);
    const auto read = index.paths.find(standing.coated);
    const bool beside = row != nullptr && row->kind == fitted::RowKind::verb && here != index.paths.end() &&
                        read != index.paths.end() && here->second.back().list == read->second.back().list;
    return beside ? row : nullptr;
}

// Grease goes on once all is done that makes it owed, on whichever way: before the part goes on again, where it does. The step that puts it on elsewhere.
const Remedies::Touch* Remedies::place_grease(const Index& index, ItemId item, linked::ConsumableId with,
                                              Steps& steps) {
    const auto touches = index.touches.find(item);
    if (touches == index.touches.end()) return nullptr;
    const Touch* greased = nullptr;
    const Touch* owing = nullptr;
    const Touch* fit = nullptr;
    for (const Touch& touch : touches->second) {
        const Row* row = touch.path->back().row;
        if (touch.verb == VerbName::apply && row->step != nullptr && row->step->consumable == with) greased = &touch;
        if (touch.verb == VerbName::clean || touch.verb == VerbName::renew) {
            owing = &touch;
            fit = nullptr;
        }
        if (touch.verb == VerbName::fit && touch.brings && touch.path->size() == 1 && fit == nullptr) fit = &touch;
    }
    if (owing == nullptr) return greased;
    if (fit != nullptr) {
        steps.before = fit->path->back().row;
        steps.after.reset();
        return greased;
    }
    steps.after = *owing;
    if (const auto outer = index.paths.find(owing->path->front().row); outer != index.paths.end())
        steps.after->path = &outer->second;
    return greased;
}

// The first step that measures or inspects a thing once it is off, before that row.
const Row* Remedies::looked_at_dirty(const Index& index, ItemId item, std::size_t before) {
    std::size_t off = 0;
    if (const auto touches = index.touches.find(item); touches != index.touches.end())
        for (const Touch& each : touches->second)
            if (each.verb == VerbName::remove && each.order < before) off = each.order;
    const Row* first = nullptr;
    std::size_t at = before;
    for (const auto& [row, order] : index.orders) {
        if (order <= off || order >= at || !looks_at(*row, item)) continue;
        first = row;
        at = order;
    }
    return first;
}

// Where the fluid is where it belongs: behind the last step that moves it. There its level is looked at, before the cap goes on.
const Remedies::Touch* Remedies::filled_at(const Index& index, ItemId circuit, const std::vector<ItemId>& vents) {
    const Touch* last = nullptr;
    const auto look = [&](ItemId item, std::initializer_list<VerbName> verbs) {
        const auto touches = index.touches.find(item);
        if (touches == index.touches.end()) return;
        for (const Touch& each : touches->second)
            if (std::find(verbs.begin(), verbs.end(), each.verb) != verbs.end() && !each.narrowed &&
                (last == nullptr || each.order > last->order))
                last = &each;
    };
    look(circuit, {VerbName::fill, VerbName::bleed, VerbName::prime, VerbName::circulate});
    if (last == nullptr) return nullptr;
    for (const ItemId vent : vents) look(vent, {VerbName::torque});
    return last;
}

void Remedies::pay(const Moment& now, Finding& finding, const Standing& standing, std::uint64_t debts) {
    static const Index nothing;
    const Index& index = now.ended != nullptr ? index_of(*now.ended) : nothing;
    const linked::Item& item = now.it().is;
    const auto owes = [&](Debt debt) { return Standing{0, debts, 0}.owes(debt); };
    Steps first;
    later(first.after, index, now.item, any);
    std::vector<Steps> steps;
    std::vector<linked::LimitId> limits_left; // that an adjustment still has to be proved by
    std::string first_of_all;
    const Touch* greased = nullptr; // too early, too late, or not here
    const auto add_step = [&](VerbName verb, const std::string& what) {
        Steps more = first;
        if (verb == VerbName::level)
            if (const Touch* filled = filled_at(index, now.item, item.vented_by); filled != nullptr)
                more.after = *filled;
        more.all.push_back(step(verb, what));
        wait_for_needs(now, index, verb, standing.indebted, false, more);
        steps.push_back(std::move(more));
    };
    if (item.sort == linked::Sort::circuit && item.circuit_of.sort) {
        for (const ItemId part : item.moves) {
            later(first.after, index, part, any);
            for (const ItemId holder : now.of(part).is.held_by) later(first.after, index, holder, any);
        }
        const auto narrowed_bleed = [](const Index& in, const std::vector<ItemId>& vents) {
            const Touch* found = nullptr;
            for (const ItemId vent : vents)
                if (const auto touches = in.touches.find(vent); touches != in.touches.end())
                    for (const Touch& each : touches->second)
                        if (each.verb == VerbName::bleed && each.narrowed) found = &each;
            return found;
        };
        std::vector<std::string> vents;
        for (const ItemId vent : item.vented_by) vents.push_back(now.of(vent).is.id);
        for (const model::Proof& proof : model::proofs(item.circuit_of.sort->value)) {
            if (!owes(proof.debt)) continue;
            if (proof.debt != Debt::bleed) {
                for (const model::Verb& verb : model::all_verbs())
                    if (verb.word == model::word(proof.debt)) add_step(verb.name, item.id);
            } else if (const Touch* some = narrowed_bleed(index, item.vented_by); some != nullptr) {
                const Row& row = *some->path->back().row;
                finding.more.push_back({head_span(row), "not at every vent"});
                first_of_all = fmt::format("let the `only` of {} take in every vent, and ", says(row));
            } else if (vents.empty()) {
                first_of_all = name_a_vent(item) + ", and ";
            } else {
                add_step(VerbName::bleed, one_or_list(vents));
                add_step(VerbName::torque, one_or_list(vents));
            }
        }
    } else if (item.sort == linked::Sort::adjustment) {
        if (owes(Debt::adjust)) {
            Steps adjust = first;
            std::optional<Touch> freed;
            for (const linked::While& condition : item.whiles)
                if (condition.verb == VerbName::adjust)
                    for (const linked::Need& need : condition.needs)
                        later(freed, index, need.item, bringing(need.place));
            if (freed) adjust.after = freed;
            adjust.before = set_before_reading(now, index, freed, standing.indebted);
            adjust.all.push_back(step(VerbName::adjust, item.id));
            steps.push_back(std::move(adjust));
        }
        std::vector<std::string> limits;
        for (const linked::LimitId limit : item.proved_by)
            if (limit.known() &&
                (debts & proof_bits_of(fit_, linked_, item, limit, [](fitted::InstanceId) { return true; })) != 0) {
                limits.push_back(linked_.limits[limit.index()].id);
                limits_left.push_back(limit);
            }
        // Once it is adjusted, what is read further down counts.
        if (owes(Debt::adjust))
            std::erase_if(limits, [&](const std::string& limit) {
                return now.ended != nullptr && measured_after(*now.ended, standing.indebted, limit);
            });
        if (owes(Debt::prove) && !limits.empty()) {
            add_step(VerbName::measure, one_or_list(limits));
            // Not before it is adjusted.
            if (steps.size() > 1 && steps.front().after && !steps.front().before &&
                (!steps.back().after || steps.back().after->order < steps.front().after->order))
                steps.back().after = steps.front().after;
        }
    } else {
        if (owes(Debt::degrease)) add_step(VerbName::clean, item.id);
        if (owes(Debt::locker) && item.threadlock.known())
            add_step(VerbName::apply, linked_.consumables[item.threadlock.index()].id);
        if (owes(Debt::lubricant) && item.lubricant.known()) {
            steps.push_back(first);
            steps.back().all.push_back(fmt::format("- apply: {}` with `to: {}` and its `amount",
                                                   linked_.consumables[item.lubricant.index()].id, item.id));
            greased = place_grease(index, now.item, item.lubricant, steps.back());
        }
    }
    std::string owed = debts_of(debts);
    std::erase(owed, '`');
    const std::string stays = now.contracted ? fmt::format("say in `ends-with` that it `owes: [{}]`, too", owed)
                                             : ends_so(now, fmt::format("{}: {{ owes: [{}] }}", item.id, owed));
    finding.leaves = fmt::format("{}: {{ owes: [{}] }}", item.id, owed);
    if (steps.empty() && !first_of_all.empty()) {
        finding.help = first_of_all + "bleed it there";
        return;
    }
    if (steps.empty()) {
        finding.help = stays;
        return;
    }
    if (now.of_job) return ask_for_procedure(now, finding, standing, debts, steps);
    put(now, finding, index, steps, standing.indebted, standing.place);
    // What was read too early, and nothing decided by, is read later.
    const bool moves =
        item.sort == linked::Sort::adjustment && limits_left.size() == 1 && steps.size() == 1 && !owes(Debt::adjust) &&
        standing.coated != nullptr && standing.coated->limits.size() == 1 && now.ended != nullptr &&
        procedure_of(*standing.coated) == now.ended &&
        !decides_by(*now.ended, standing.coated, put_behind(index, steps.front(), standing), limits_left.front());
    if (moves && finding.help.starts_with("add ")) {
        finding.help.replace(0, 3, "move");
        finding.mends.clear();
    }
    if (owes(Debt::lubricant)) finding.mends.clear(); // how much, only who writes it knows
    if (greased != nullptr && greased->narrowed) {
        const Row& row = *greased->path->back().row;
        finding.more.push_back({target_span(row, now.item), "not here for {values}"});
        finding.help = widened_step(row, now.item);
        return;
    }
    // Washed once it was greased: the washing stands too late.
    const Row* washed = standing.indebted;
    if (greased != nullptr && washed != nullptr && washed->kind == fitted::RowKind::verb &&
        washed->verb == VerbName::clean && index.orders.contains(washed) && greased->order < index.orders.at(washed)) {
        const Row& grease = *greased->path->back().row;
        const Row* look = looked_at_dirty(index, now.item, greased->order);
        std::erase_if(finding.more, [](const messages::Label& label) { return label.text == "add it before this"; });
        finding.more.push_back({head_span(look != nullptr ? *look : grease), "move it before this"});
        finding.help = look != nullptr
                           ? fmt::format("move {} before {}, which wants it clean; where it stands it washes off {}",
                                         says(*washed), says(*look), says(grease))
                           : fmt::format("move {} before {}, which it washes off", says(*washed), says(grease));
        return;
    }
    if (greased != nullptr && finding.help.starts_with("add ")) {
        const Row& row = *greased->path->back().row;
        const bool late =
            now.row != nullptr && index.orders.contains(now.row) && greased->order > index.orders.at(now.row);
        finding.more.push_back(
            {target_span(row, now.item), late ? "stands too late" : "not on every way, or too early"});
        finding.late.emplace_back(&row, now.item);
        const std::size_t before = finding.help.rfind(" before ");
        const std::size_t after = finding.help.rfind(" after ");
        finding.help =
            fmt::format("move {}{}", says(row), finding.help.substr(before == std::string::npos ? after : before));
    }
    finding.help = first_of_all + finding.help + ", or " + stays;
}

bool Remedies::pay_before(const Moment& now, Finding& finding, ItemId item, fitted::InstanceId at,
                          const Standing& standing) {
    const fitted::Procedure* procedure = now.row != nullptr ? procedure_of(*now.row) : nullptr;
    const bool pays = now.of(item).is.sort == linked::Sort::adjustment || standing.owes(Debt::lubricant);
    if (procedure == nullptr || !pays) return false;
    Moment end = now;
    end.item = item;
    end.at = at;
    end.value = now.fit.instances[at.index()].value;
    end.ended = procedure;
    end.contracted = false;
    Finding paid;
    pay(end, paid, standing, standing.unfinished());
    // That it might stay so is nothing for the midst of the work.
    const std::size_t stays = std::min({paid.help.find(", or say `ends-with"), paid.help.find(", or add `")});
    if ((!paid.help.starts_with("add ") && !paid.help.starts_with("move ")) || stays == std::string::npos) return false;
    finding.help = paid.help.substr(0, stays);
    // It is told where it is shut in, not where it was made to owe.
    constexpr std::string_view at_cause = " after this step";
    if (const std::size_t where = finding.help.find(at_cause);
        where != std::string::npos && standing.indebted != nullptr && standing.indebted != now.row)
        finding.help.replace(where, at_cause.size(), " after " + says(*standing.indebted));
    finding.mends = std::move(paid.mends);
    finding.late = std::move(paid.late);
    // What is there once is finished once, on however many sides it is shut in.
    constexpr std::string_view only = "{only}";
    if (!end.it().is.axis.known())
        for (std::size_t where = finding.help.find(only); where != std::string::npos; where = finding.help.find(only)) {
            finding.help.erase(where, only.size());
            finding.once = true;
        }
    finding.more.insert(finding.more.end(), paid.more.begin(), paid.more.end());
    return true;
}

// At the end of a job: a procedure that begins with the thing as it stands and ends with it at rest.
void Remedies::ask_for_procedure(const Moment& now, Finding& finding, const Standing& standing, std::uint64_t debts,
                                 const std::vector<Steps>& steps) const {
    std::uint64_t owed = debts & ~(vent_bits | proof_bits);
    if ((debts & vent_bits) != 0) owed |= model::bit(Debt::bleed);
    const auto is_it = [&](const linked::Entering& each) { return each.item == now.item; };
    const auto stands = [&](const linked::Entering& each) {
        if (!each.item.known() || !now.of(each.item).present || !each.has_place) return true;
        const std::vector<fitted::InstanceId> all = now.every(each.item);
        return std::none_of(all.begin(), all.end(), [&](fitted::InstanceId at) {
            return now.some(at, [&](const Standing& s) { return !s.in(each.place); }).has_value();
        });
    };
    // Of those that can begin where the job ends, the ones that take over most of what it leaves; else those that could begin earlier.
    const auto takes_over = [&](const linked::Procedure& procedure) {
        if (!std::all_of(procedure.starts_with.begin(), procedure.starts_with.end(), stands)) return std::ptrdiff_t{0};
        return std::count_if(procedure.starts_with.begin(), procedure.starts_with.end(),
                             [](const linked::Entering& each) { return each.place != 0 || each.owes != 0; });
    };
    std::vector<std::string> choice;
    std::ptrdiff_t most = 0;
    for (const linked::Procedure& procedure : linked_.procedures) {
        const auto begins = std::find_if(procedure.starts_with.begin(), procedure.starts_with.end(), is_it);
        if (begins == procedure.starts_with.end()) continue;
        const auto ends = std::find_if(procedure.ends_with.begin(), procedure.ends_with.end(), is_it);
        const bool named = ends != procedure.ends_with.end();
        const bool mends = debts != 0 ? (owed & ~begins->owes) == 0 && (!named || (owed & ends->owes) == 0)
                                      : begins->has_place && begins->place == standing.place &&
                                            (!named || (ends->has_place && ends->place == now.wanted_place));
        if (!mends) continue;
        if (!does_fit(procedure)) continue;
        const std::ptrdiff_t takes = takes_over(procedure);
        if (takes < most) continue;
        if (takes > most) choice.clear();
        most = takes;
        choice.push_back(fmt::format("`{}`", procedure.source->id.value));
    }
    constexpr std::size_t most_named = 3;
    if (choice.size() > most_named) choice.resize(most_named);
    if (!choice.empty()) {
        std::string names;
        for (const std::string& each : choice) names += (names.empty() ? "" : " or ") + each;
        finding.help = fmt::format("add {} to the job's `do`{}", names, most == 0 ? "" : ", at its end");
        return;
    }
    std::vector<std::string> all;
    for (const Steps& each : steps) all.insert(all.end(), each.all.begin(), each.all.end());
    finding.help = fmt::format(
        "no procedure of this shop takes it over like this: write one with {}, and add it to the job's `do`",
        quoted(all));
}

} // namespace benchleaf::proof
