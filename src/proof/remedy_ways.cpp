// Help where two ways, or two rounds, leave a thing otherwise.
#include "proof/remedy_steps.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::proof {

namespace {

using remedy::brought_to;
using remedy::each_row;
using remedy::ItemId;
using remedy::lines;
using remedy::Move;
using remedy::moves_between;
using remedy::Place;
using remedy::quoted;
using remedy::Row;
using remedy::step;
using remedy::VerbName;

} // namespace

const Row* Remedies::narrowed_on(const fitted::Rows& rows, ItemId item, Place place) const {
    const Row* found = nullptr;
    each_row(rows, [&](const Row& row) {
        if (row.kind != fitted::RowKind::verb) return;
        for (const fitted::Target& target : row.targets)
            if (target.item == item && (!target.values.empty() || !row.only.empty()) &&
                brought_to(row, fit_.items[item.index()].is, target.place) == place)
                found = &row;
    });
    return found;
}

std::string Remedies::begin_round(const Row& repeat, ItemId item, const Standing& begins, const Standing& ends) {
    if (repeat.body.empty()) return {};
    const fitted::Procedure* procedure = procedure_of(repeat);
    const Row& first = repeat.body.front();
    if (procedure == nullptr || first.step == nullptr || !first.step->source->id) return {};
    const std::string& id = first.step->source->id->value;
    const auto at = [&](const Row& row) {
        return fmt::format("let each round begin with {}: give that the `id: {}`, which {} has now", says(row), id,
                           says(first));
    };
    const auto may_begin = [](const Row& row) {
        return row.step != nullptr && row.kind == fitted::RowKind::verb && !row.step->source->id;
    };
    // What is set by the first step alone is set in each later round: they begin behind it.
    if (fit_.items[item.index()].is.sort == linked::Sort::setting && ends.placed == &first && repeat.body.size() > 1 &&
        may_begin(repeat.body[1]) && repeat.body[1].verb != VerbName::measure)
        return at(repeat.body[1]);
    if (fit_.items[item.index()].is.sort != linked::Sort::fastener) return {};
    // A round that tightens begins with slackening: tight is how it is left when all is right.
    if (ends.placed == nullptr || ends.place != 0 || !holds(repeat.body, *ends.placed)) return {};
    const auto slackens = [&](const Row& row) {
        return row.kind == fitted::RowKind::verb && row.verb == VerbName::slacken &&
               std::any_of(row.targets.begin(), row.targets.end(),
                           [&](const fitted::Target& target) { return target.item == item; });
    };
    if (const Row* row = begins.placed; row != nullptr && slackens(*row) && !holds(repeat.body, *row) &&
                                        list_of(*procedure, *row) == list_of(*procedure, repeat) && may_begin(*row))
        return at(*row);
    for (const Row& row : repeat.body)
        if (&row != &first && slackens(row) && may_begin(row)) return at(row);
    const auto tightens =
        std::find_if(repeat.body.begin(), repeat.body.end(), [&](const Row& row) { return &row == ends.placed; });
    if (tightens == repeat.body.end() || tightens->verb != VerbName::torque) return {};
    // What is set while it is loose stands between the two.
    const auto set_loose = [&](const Row& row) {
        return std::any_of(row.targets.begin(), row.targets.end(), [&](const fitted::Target& target) {
            const linked::Item& is = fit_.items[target.item.index()].is;
            return row.verb == VerbName::adjust && target.item.known() &&
                   std::any_of(is.whiles.begin(), is.whiles.end(), [&](const linked::While& each) {
                       return each.verb == VerbName::adjust &&
                              std::any_of(each.needs.begin(), each.needs.end(),
                                          [&](const linked::Need& need) { return need.item == item; });
                   });
        });
    };
    const Row& next = *std::find_if(repeat.body.begin(), tightens, set_loose);
    return fmt::format("let each round begin with `{}`: add that with the `id: {}`, which {} has now, before {}",
                       step(VerbName::slacken, fit_.items[item.index()].is.id), id, says(first),
                       &next == &first ? "it" : says(next));
}

std::string Remedies::end_round(const Row& repeat, ItemId item, const Standing& begins, const Standing& ends,
                                Finding& finding) {
    const fitted::Procedure* procedure = procedure_of(repeat);
    if (procedure == nullptr || ends.placed == nullptr || !holds(repeat.body, *ends.placed)) return {};
    const linked::Item& is = fit_.items[item.index()].is;
    std::vector<std::string> steps;
    // What was snug before the rounds is tight behind each.
    const Place back = is.sort == linked::Sort::fastener && begins.place == 1 ? Place{0} : begins.place;
    for (const Move& move : moves_between(is, ends.place, back)) steps.push_back(step(move.verb, move.what));
    const Index& index = index_of(*procedure);
    const Touch* last = nullptr;
    if (const auto its = index.touches.find(item); its != index.touches.end())
        for (const Touch& each : its->second)
            for (const Row& row : repeat.body)
                if (&row == each.path->back().row && (last == nullptr || each.order > last->order)) last = &each;
    const bool bled =
        ends.placed->verb == VerbName::bleed && ends.placed->step != nullptr; // it is tightened right behind that
    if (steps.empty() || (!bled && (last == nullptr || last->path->back().row->step == nullptr))) return {};
    const Row& row = bled ? *ends.placed : *last->path->back().row;
    if (index.orders.at(&row) < index.orders.at(ends.placed)) return {};
    add_after(finding, *procedure, steps, item, row);
    return finding.help + ": each round leaves it as it found it";
}

namespace {

// Does the step start from where the thing stands?
bool could_begin(VerbName verb, Place place, Place last) {
    switch (verb) {
    case VerbName::slacken:
        return place <= 1;
    case VerbName::snug:
        return place == 2;
    case VerbName::torque:
        return place == 1 || place == 2;
    case VerbName::recheck:
        return place == 0;
    case VerbName::fit:
        return place == last;
    case VerbName::remove:
        return place != last;
    default:
        return true;
    }
}

} // namespace

// The steps that are missing on a way, to be tried at its end or behind the step that is named.
void Remedies::try_in_way(const fitted::Procedure& procedure, const fitted::Rows& way, const std::string& behind,
                          const std::vector<std::string>& steps, Finding& finding) const {
    const Row* last = nullptr;
    for (const Row& row : way)
        if (behind == " at the end" || behind == " after " + says(row)) last = &row;
    if (last == nullptr || last->step == nullptr || !on_every_vehicle(procedure, finding.item)) return;
    finding.mends.push_back({last->step->source->span, lines(steps), messages::Puts::entries_after});
}

// Does a step behind the question, and before the one that sets it next, need it there?
bool Remedies::needed_further_on(const fitted::Procedure& procedure, const Row& question, ItemId item,
                                 const Touch* next, Place place) {
    const Index& index = index_of(procedure);
    const std::size_t from = index.orders.at(&question);
    bool needed = false;
    const auto wants = [&](const std::vector<linked::Need>& needs) {
        return std::any_of(needs.begin(), needs.end(),
                           [&](const linked::Need& need) { return need.item == item && need.place == place; });
    };
    each_row(procedure, [&](const Row& row) {
        const auto at = index.orders.find(&row);
        if (at == index.orders.end() || at->second <= from || (next != nullptr && at->second >= next->order)) return;
        if (holds(question.if_so, row) || holds(question.if_not, row) || row.kind != fitted::RowKind::verb) return;
        for (const fitted::Target& target : row.targets) {
            const linked::Item& is = fit_.items[target.item.index()].is;
            needed = needed || wants(is.needs);
            for (const linked::While& each : is.whiles) needed = needed || (each.verb == row.verb && wants(each.needs));
        }
    });
    return needed;
}

// Where only one of the two suits what follows the question, or what the procedure ends with, the way that moved it lacks a step.
bool Remedies::bring_as_wanted(const Row& question, const Standing& done, const Standing& left, bool by_yes,
                               Finding& finding) {
    const ItemId item = finding.item;
    const linked::Item& is = fit_.items[item.index()].is;
    const fitted::Procedure* procedure = procedure_of(question);
    if (procedure == nullptr) return false;
    const Index& index = index_of(*procedure);
    const auto own = index.touches.find(item);
    const auto at = index.orders.find(&question);
    if (own == index.touches.end() || at == index.orders.end()) return false;
    const auto last = static_cast<Place>(is.places.size() - 1);
    const fitted::Rows& way = by_yes ? question.if_so : question.if_not;
    const Touch* next = nullptr;
    std::string behind;
    for (const Touch& each : own->second) {
        const Row* row = each.path->back().row;
        for (const Row& within : way)
            if (&within == row) behind = " after " + says(within);
        const bool further = each.order > at->second && !holds(question.if_so, *row) && !holds(question.if_not, *row);
        if (next == nullptr && further && each.brings) next = &each;
    }
    bool suits_done = false;
    bool suits_left = false;
    if (next != nullptr && is.sort != linked::Sort::setting) {
        suits_done = could_begin(next->verb, done.place, last);
        suits_left = could_begin(next->verb, left.place, last);
    } else if (is.sort == linked::Sort::setting && needed_further_on(*procedure, question, item, next, left.place)) {
        suits_left = true;
    } else if (next == nullptr && is.sort == linked::Sort::setting) {
        const auto promised =
            std::find_if(procedure->ends_with.begin(), procedure->ends_with.end(),
                         [&](const linked::Entering& each) { return each.item == item && each.has_place; });
        if (promised == procedure->ends_with.end()) return false;
        suits_done = promised->place == done.place;
        suits_left = promised->place == left.place;
    }
    if (suits_done || !suits_left) return false;
    if (done.place == 0 && is.sort != linked::Sort::setting) return false; // what is put back is not taken off again
    std::vector<std::string> steps;
    for (const Move& move : moves_between(is, done.place, left.place)) steps.push_back(step(move.verb, move.what));
    if (steps.empty()) return false;
    const bool nothing_since = behind == " after " + says(*done.placed);
    if (is.sort == linked::Sort::setting || (nothing_since && &way.back() != done.placed)) behind = " at the end";
    finding.on_answer =
        fmt::format("under its `{}`, where the answer is {}", by_yes ? "if-so" : "if-not", by_yes ? "yes" : "no");
    finding.brings_back = quoted(steps) + behind;
    finding.help = "add " + finding.brings_back + (behind.empty() ? " " : ", ") + finding.on_answer;
    try_in_way(*procedure, way, behind, steps, finding);
    return true;
}

// Does a step of the list behind that one need the thing in that place?
bool Remedies::needed_in(const fitted::Rows& rows, const Row& behind, ItemId item, Place place) const {
    const auto wants = [&](const std::vector<linked::Need>& needs) {
        return std::any_of(needs.begin(), needs.end(),
                           [&](const linked::Need& need) { return need.item == item && need.place == place; });
    };
    bool seen = false;
    for (const Row& row : rows) {
        if (seen)
            for (const fitted::Target& target : row.targets) {
                if (!target.item.known()) continue;
                const linked::Item& is = fit_.items[target.item.index()].is;
                if (wants(is.needs) || std::any_of(is.whiles.begin(), is.whiles.end(), [&](const linked::While& each) {
                        return each.verb == row.verb && wants(each.needs);
                    }))
                    return true;
            }
        seen = seen || &row == &behind;
    }
    return false;
}

void Remedies::agree(const Row& question, const Standing& yes, const Standing& no, Finding& finding) {
    const ItemId item = finding.item;
    const linked::Item& is = fit_.items[item.index()].is;
    const auto on = [](const fitted::Rows& way, const Standing& s) {
        return s.placed != nullptr && holds(way, *s.placed);
    };
    // Where both turn it, the one that leaves it away from rest lacks a step.
    const bool turned =
        question.kind == fitted::RowKind::question && on(question.if_so, yes) && on(question.if_not, no);
    if (turned &&
        (bring_as_wanted(question, yes, no, true, finding) || bring_as_wanted(question, no, yes, false, finding)))
        return;
    const bool both = turned && (yes.place == 0) != (no.place == 0);
    const bool by_yes = both ? yes.place != 0 : on(question.if_so, yes);
    if (question.kind != fitted::RowKind::question || (!both && by_yes == on(question.if_not, no))) {
        finding.help =
            fmt::format("let both ways leave it {}, or both {}", is.places[yes.place].name, is.places[no.place].name);
        return;
    }
    const Standing& done = by_yes ? yes : no;
    const Standing& left = by_yes ? no : yes;
    if (bring_as_wanted(question, done, left, by_yes, finding)) return;
    // What one answer alone sets, for work of its own, it sets back at its end.
    const fitted::Rows& way = by_yes ? question.if_so : question.if_not;
    if (is.sort == linked::Sort::setting && done.placed != nullptr && needed_in(way, *done.placed, item, done.place)) {
        std::vector<std::string> steps;
        for (const Move& move : moves_between(is, done.place, left.place)) steps.push_back(step(move.verb, move.what));
        const std::string behind = " at the end";
        finding.on_answer =
            fmt::format("under its `{}`, where the answer is {}", by_yes ? "if-so" : "if-not", by_yes ? "yes" : "no");
        finding.brings_back = quoted(steps) + behind;
        finding.help = "add " + finding.brings_back + ", " + finding.on_answer;
        if (const fitted::Procedure* procedure = procedure_of(question); procedure != nullptr)
            try_in_way(*procedure, way, behind, steps, finding);
        return;
    }
    // What the next step behind the question does anyhow.
    if (const fitted::Procedure* procedure = procedure_of(question); procedure != nullptr) {
        const Index& index = index_of(*procedure);
        const auto own = index.touches.find(item);
        const auto at = index.orders.find(&question);
        if (own != index.touches.end() && at != index.orders.end()) {
            const Touch* next = nullptr;
            for (const Touch& each : own->second) {
                const Row* row = each.path->back().row;
                if (next == nullptr && each.order > at->second && each.brings && !holds(question.if_so, *row) &&
                    !holds(question.if_not, *row))
                    next = &each;
            }
            if (next != nullptr && next->brings == done.place && !next->narrowed &&
                says(*next->path->back().row) == says(*done.placed) &&
                !needed_in(by_yes ? question.if_so : question.if_not, *done.placed, item, done.place)) {
                finding.help =
                    fmt::format("take {0} out of the question: {0} stands again further down, whatever was answered",
                                says(*done.placed));
                return;
            }
        }
    }
    // What would bring it back on this way leaves this side out.
    if (const Row* narrow = narrowed_on(by_yes ? question.if_so : question.if_not, item, left.place);
        narrow != nullptr) {
        finding.help = widened_step(*narrow, item);
        return;
    }
    const std::string_view here = by_yes ? "if-so" : "if-not";
    const std::string there =
        fmt::format("where the answer is {}, {} `{}`", by_yes ? "no" : "yes",
                    (by_yes ? question.if_not : question.if_so).empty() ? "below the question in an" : "under its",
                    by_yes ? "if-not" : "if-so");
    // What is put back on one way alone, and came from before the question, is hardly ever meant to wait on the answer.
    // What is done to it just before, on the same way, goes with it.
    if (done.place == 0) {
        std::vector<std::string> together{says(*done.placed)};
        std::string renewed;
        if (const fitted::Procedure* procedure = procedure_of(question); procedure != nullptr) {
            const Index& index = index_of(*procedure);
            const auto path = index.paths.find(done.placed);
            const fitted::Rows* list = path != index.paths.end() && path->second.back().row == done.placed
                                           ? path->second.back().list
                                           : nullptr;
            // Whether it is made new is what was asked.
            const bool judged = question.step != nullptr && question.step->kind == linked::StepKind::decide;
            for (const Row* row = done.placed; list != nullptr && !judged && row != list->data(); --row) {
                const Row& earlier = *(row - 1);
                const bool its = earlier.kind == fitted::RowKind::verb && earlier.targets.size() == 1 &&
                                 earlier.targets.front().item == item;
                if (its && earlier.verb == VerbName::renew) renewed = says(earlier);
                if (!its || (earlier.verb != VerbName::clean && earlier.verb != VerbName::apply)) break;
                together.insert(together.begin(), says(earlier));
            }
        }
        const bool one = together.size() == 1;
        finding.help = fmt::format("take {0} out of the question and put {2} after it, or add {2} {1}, too",
                                   base::join_and(together), there, one ? "it" : "them");
        if (!renewed.empty())
            finding.help += fmt::format("; {} goes with it where that is done whatever the answer", renewed);
        return;
    }
    const auto steps = [&](Place from, Place to) {
        std::vector<std::string> all;
        for (const Move& move : moves_between(is, from, to)) all.push_back(step(move.verb, move.what));
        return quoted(all);
    };
    const std::string too = fmt::format("{} {}, too", steps(left.place, done.place), there);
    std::string behind; // the last step of that way that has to do with it
    if (const fitted::Procedure* procedure = procedure_of(question); procedure != nullptr) {
        const Index& index = index_of(*procedure);
        // A pin goes in once its nut is tight again, a bolt once what it holds is on.
        std::vector<ItemId> first{item};
        first.insert(first.end(), is.holds.begin(), is.holds.end());
        if (is.locks.known()) first.push_back(is.locks);
        std::size_t last = 0;
        for (const ItemId which : first)
            if (const auto touches = index.touches.find(which); touches != index.touches.end())
                for (const Touch& each : touches->second)
                    for (const Row& row : by_yes ? question.if_so : question.if_not)
                        if (each.path->back().row == &row && each.order >= last) {
                            last = each.order;
                            behind = fmt::format(" after {}", says(row));
                        }
    }
    // What it was let go for stands between.
    const fitted::Rows& own_way = by_yes ? question.if_so : question.if_not;
    const bool nothing_since = behind == " after " + says(*done.placed);
    if (nothing_since && !own_way.empty() && &own_way.back() != done.placed) behind = " at the end";
    const std::string back = steps(done.place, left.place) + behind;
    finding.on_answer = fmt::format("under its `{}`, where the answer is {}", here, by_yes ? "yes" : "no");
    const std::string back_there = back + (behind.empty() ? " " : ", ") + finding.on_answer;
    // What something further down brings back, or is left so, may be away on both ways; else it is brought back on this one.
    bool brought_back = false;
    bool left_so = false;
    if (const fitted::Procedure* procedure = procedure_of(question); procedure != nullptr) {
        left_so = std::any_of(procedure->ends_with.begin(), procedure->ends_with.end(), [&](const auto& each) {
            return each.item == item && each.has_place && each.place == done.place;
        });
        const Index& index = index_of(*procedure);
        std::size_t last = 0; // of the question's own
        if (const auto touches = index.touches.find(item); touches != index.touches.end())
            for (const Touch& each : touches->second) {
                const Row* row = each.path->back().row;
                if (holds(question.if_so, *row) || holds(question.if_not, *row))
                    last = each.order;
                else if (last != 0 && each.brings && *each.brings != done.place)
                    brought_back = true;
            }
    }
    if (brought_back || left_so) {
        finding.help = fmt::format("add {}, or {}", too, back_there);
        return;
    }
    finding.brings_back = back;
    finding.help = "add " + back_there;
    std::vector<std::string> all;
    for (const Move& move : moves_between(is, done.place, left.place)) all.push_back(step(move.verb, move.what));
    if (const fitted::Procedure* procedure = procedure_of(question); procedure != nullptr)
        try_in_way(*procedure, own_way, behind, all, finding);
}

} // namespace benchleaf::proof
