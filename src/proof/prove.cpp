#include "proof/machine.h"

#include "fitted/fit.h"
#include "proof/tell.h"

#include <fmt/format.h>

namespace benchleaf::proof {

// What some walk came to is reached; of what follows a stop in a procedure's sections, the first step is told.
void Machine::tell() {
    std::set<const fitted::Procedure*> told;
    for (NotReached& each : not_reached_) {
        if (reached_.contains(each.row)) continue;
        if (each.top != nullptr && !told.insert(each.top).second) continue;
        report_machine("unreachable", head_span(*each.row), std::move(each.what));
        findings_.back().help = std::move(each.help);
    }
    not_reached_.clear();
    forget_unsure();
    for (Finding& each : told_) remedies_.widen_instead(each);
    proof::tell(fit_, linked_, told_, asked_rows_, messages_);
}

void Machine::call(const Row& row, const Binding& binding) {
    if (!row.calls.known()) return;
    const source::Span at = row.targets.empty() ? head_span(row) : row.targets.front().span;
    const Row* outer = std::exchange(calling_, &row);
    call_walk(row.calls, binding, at);
    calling_ = outer;
}

void Machine::call_walk(fitted::ProcedureIndex index, const Binding& binding, source::Span at) {
    const fitted::Procedure& procedure = fit_.procedures[index.index()];
    const Touched touched = touched_by(index, binding);
    // What a call breaks is told at each call, whatever was walked before; but not what comes of a `starts-with` that was told to be missing.
    const std::size_t found_before = findings_.size();
    const auto lacking = wants_entry_.find(index);
    const auto unsaid =
        std::exchange(entry_unsaid_, lacking == wants_entry_.end() ? std::set<ItemId>() : lacking->second);
    ends(procedure.starts_with, binding, touched, at, procedure.source->source->id.value);
    entry_unsaid_ = unsaid;
    std::set<ItemId> not_known;
    for (std::size_t i = found_before; i < findings_.size(); ++i)
        if (findings_[i].of_another) not_known.insert(findings_[i].item);
    if (unsure_.contains(index)) lose_sight();
    remembered({&procedure, binding.axis, binding.value}, [&] {
        auto live = std::exchange(live_, {});
        auto keys = std::exchange(asked_keys_, {});
        walk(procedure, binding);
        live_ = std::move(live);
        asked_keys_ = std::move(keys);
    });
    for (const ItemId item : not_known)
        for (const InstanceId each : instances(item, {}, nullptr))
            change(each, [](const Standing& before) {
                Standing after = before;
                after.place = unknown_place;
                return after;
            });
    take_for_kept(procedure.ends_with, binding, touched);
}

// What it leaves otherwise than it says, or not at rest, was told of the procedure itself, and is not told again of who calls it.
void Machine::take_for_kept(const std::vector<linked::Entering>& contract, const Binding& binding,
                            const Touched& touched) {
    std::set<InstanceId> named;
    const auto keep = [&](InstanceId at, linked::Place promised) {
        bool broken = false;
        ways_.each(standing(at), [&](const Standing& s, const Answers&) {
            broken = broken || !s.in(promised);
            return !broken;
        });
        if (!broken) return;
        change(at, [&](const Standing& before) {
            if (before.in(promised)) return before;
            Standing after = before;
            after.place = unknown_place;
            return after;
        });
    };
    for (const linked::Entering& entering : contract)
        if (entering.item.known() && !is_proved(entering.item))
            for (const InstanceId at : instances(entering.item, binding, nullptr)) {
                named.insert(at);
                if (entering.has_place) keep(at, entering.place);
            }
    for (const InstanceId at : touched) {
        const ItemId item = fit_.instances[at.index()].item;
        if (!named.contains(at) && !is_proved(item) && !fit_.items[item.index()].is.rests_anywhere) keep(at, 0);
    }
}

void Machine::judge_end(InstanceId at, const linked::Entering* entering, source::Span where, std::string_view begins,
                        bool whole) {
    if (begins.empty() && repaired_.contains(at)) return;
    const ItemId item = fit_.instances[at.index()].item;
    Moment now = moment_at(item, at, where);
    now.begins = begins;
    if (!begins.empty()) now.call = calling_;
    now.of_job = of_job_;
    now.whole = whole;
    now.ended = ended_;
    now.contracted = entering != nullptr || !begins.empty();
    if (entering != nullptr) {
        now.promised = entering->span;
        now.any_place = !entering->has_place;
        now.wanted_place = entering->place;
        now.may_owe = entering->owes;
        if ((entering->owes & model::bit(Debt::bleed)) != 0) now.may_owe |= vent_bits;
        if ((entering->owes & model::bit(Debt::prove)) != 0) now.may_owe |= proof_bits;
        // What is off or loose owes its locker or lubricant as a matter of course.
        if (entering->has_place && entering->place != 0)
            now.may_owe |= model::bit(Debt::locker) | model::bit(Debt::degrease) | model::bit(Debt::lubricant);
        if (begins.empty()) now.span = entering->span;
    }
    const std::size_t before = findings_.size();
    for (const Check* check : at_end_) check->judge(now, *check);
    take_blame(before);
    if (findings_.size() == before || begins.empty()) return;
    if (entry_unsaid_.contains(item) && entering == nullptr) findings_.resize(before);
    // Told once: what follows takes the promise as kept.
    Standing standing = at_rest(at);
    if (entering != nullptr && entering->has_place) standing.place = entering->place;
    if (standing.place != 0) standing.bits &= ~model::bit(Debt::locker_set);
    standing.on = 0;
    set(at, ways_.of(standing));
    repair(at, entering != nullptr ? entering->span : where);
}

// At a boundary: each item that the contract names is as it says, and each other that is touched is at rest.
void Machine::ends(const std::vector<linked::Entering>& contract, const Binding& binding, const Touched& touched,
                   source::Span at, std::string_view begins) {
    if (alive() == Ways::ended) return;
    std::set<InstanceId> named;
    // A reading proves nothing while a bolt is loose: the bolt is told first, and the reading with it.
    for (const bool proofs : {false, true}) {
        for (const linked::Entering& entering : contract) {
            if (!entering.item.known() || is_proved(entering.item) != proofs) continue;
            for (const InstanceId instance : instances(entering.item, binding, nullptr)) {
                named.insert(instance);
                judge_end(instance, &entering, at, begins, binding.value == no_value);
            }
        }
        for (const InstanceId instance : touched) {
            const ItemId item = fit_.instances[instance.index()].item;
            if (named.contains(instance) || is_proved(item) != proofs) continue;
            if (fit_.items[item.index()].is.rests_anywhere) continue;
            judge_end(instance, nullptr, at, begins, binding.value == no_value);
        }
    }
}

// What may stand anyhow, a job's card asks for under "the vehicle stands like this": from there on it is known.
void Machine::ask_for(fitted::ProcedureIndex index) {
    for (const linked::Entering& entering : fit_.procedures[index.index()].starts_with) {
        if (!entering.item.known() || !entering.has_place) continue;
        if (!fit_.items[entering.item.index()].is.rests_anywhere) continue;
        for (const InstanceId at : instances(entering.item, Binding{}, nullptr))
            change(at, [&](const Standing& before) {
                if (!before.is_anywhere()) return before;
                Standing after = before;
                after.place = entering.place;
                after.on = 0;
                return after;
            });
    }
}

// However much one of a job's procedures does not find as it asks for, it stands at the wrong place, or something before it is missing.
bool Machine::begins_as_asked(std::size_t first, source::Span at) {
    const auto broken = [&](const Finding& finding) {
        return finding.check->rule.name == "contract-broken" && finding.at == at;
    };
    const auto begin = findings_.begin() + static_cast<std::ptrdiff_t>(first);
    const auto told = std::find_if(begin, findings_.end(), broken);
    if (told == findings_.end()) return true;
    std::vector<messages::Label> more;
    const auto others = std::remove_if(told + 1, findings_.end(), [&](const Finding& each) {
        if (!broken(each) || each.same_thing(*told)) return false;
        if (!each.more.empty()) more.push_back({each.more.front().span, "nor is this so"});
        return true;
    });
    told->more.insert(told->more.end(), more.begin(), more.end());
    findings_.erase(others, findings_.end());
    return false;
}

// Where the same procedures can follow each other otherwise, that is told, and nothing of what the wrong order leads to.
bool Machine::tell_order(std::size_t first, const fitted::Procedure& begins) {
    std::vector<Boundaries> all;
    for (const fitted::ProcedureIndex index : fit_.sequence) {
        if (!index.known()) return false;
        all.push_back(boundaries(index));
    }
    const auto order = order_of(all);
    if (!order) return false;
    std::string names;
    for (const std::size_t i : *order)
        names += (names.empty() ? "" : ", ") + fit_.procedures[fit_.sequence[i].index()].source->source->id.value;
    const auto broken = std::find_if(findings_.begin() + static_cast<std::ptrdiff_t>(first), findings_.end(),
                                     [](const Finding& each) { return each.check->rule.name == "contract-broken"; });
    std::vector<Finding> kept;
    for (auto each = broken; each != findings_.end(); ++each)
        if (each->same_thing(*broken)) kept.push_back(*each);
    std::string help = "in this order each finds what it asks for: `do: [" + names + "]`";
    if (begins.starts_with.empty())
        help += fmt::format("; or, where it is worked as things stand, say so in the `starts-with` of `{}`",
                            begins.source->source->id.value);
    for (Finding& each : kept) each.help = help;
    findings_.resize(first);
    findings_.insert(findings_.end(), kept.begin(), kept.end());
    return true;
}

// Where procedures of the shop end as this one of the job begins, and could be worked before it, one of them was left out.
void Machine::tell_left_out(std::size_t first, std::size_t which, source::Span at) {
    const auto broken =
        std::find_if(findings_.begin() + static_cast<std::ptrdiff_t>(first), findings_.end(),
                     [&](const Finding& each) { return each.check->rule.name == "contract-broken" && each.at == at; });
    if (broken == findings_.end()) return;
    const fitted::Procedure& procedure = fit_.procedures[fit_.sequence[which].index()];
    // What is not said is at rest; what may stand anyhow, the card asks for.
    const auto meets = [&](const Contract& ended, const Contract& begins) {
        return std::all_of(begins.begin(), begins.end(), [&](const linked::Entering& wanted) {
            const fitted::Item& item = fit_.items[wanted.item.index()];
            if (!item.present || item.is.rests_anywhere) return true;
            const auto is = std::find_if(ended.begin(), ended.end(),
                                         [&](const linked::Entering& each) { return each.item == wanted.item; });
            const linked::Place place = is != ended.end() && is->has_place ? is->place : linked::Place{0};
            return !wanted.has_place || wanted.place == place;
        });
    };
    // It is there, and ends so: this one does not say that it begins so.
    if (which > 0) {
        const fitted::Procedure& last = fit_.procedures[fit_.sequence[which - 1].index()];
        const auto left = std::find_if(last.ends_with.begin(), last.ends_with.end(),
                                       [&](const linked::Entering& each) { return each.item == broken->item; });
        if (left != last.ends_with.end()) {
            const bool said = std::any_of(procedure.starts_with.begin(), procedure.starts_with.end(),
                                          [&](const linked::Entering& each) { return each.item == broken->item; });
            for (auto each = broken; each != findings_.end(); ++each)
                if (each->same_thing(*broken))
                    each->help = fmt::format("{} `{}` {} the `starts-with` of `{}`: `{}` ends so",
                                             said ? "write" : "add", entry_of(fit_, *left), said ? "in" : "to",
                                             procedure.source->source->id.value, last.source->source->id.value);
            return;
        }
    }
    const Contract before = which == 0 ? Contract() : fit_.procedures[fit_.sequence[which - 1].index()].ends_with;
    std::vector<std::string> names;
    for (const linked::Procedure& other : linked_.procedures) {
        if (other.ends_with.empty() || other.id == procedure.id) continue;
        const auto& fits = other.source->fits;
        if (fits && fit_.vehicle.known() && !fitted::meets(linked_.vehicles[fit_.vehicle.index()], fits->value))
            continue;
        if (meets(other.ends_with, procedure.starts_with) && meets(before, other.starts_with))
            names.push_back(fmt::format("`{}`", other.source->id.value));
    }
    constexpr std::size_t most_named = 3;
    if (names.empty() || names.size() > most_named) return;
    const std::string which_of = names.size() == 1 ? names.front() : fmt::format("{}", fmt::join(names, " or "));
    for (auto each = broken; each != findings_.end(); ++each)
        if (each->same_thing(*broken)) each->help = fmt::format("put {} before it in `do`", which_of);
}

// A procedure of a job that says nothing of how it begins: its card says that everything is in its place, also what it has nothing to do with.
void Machine::all_in_place(fitted::ProcedureIndex index, source::Span at) {
    const fitted::Procedure& procedure = fit_.procedures[index.index()];
    if (!procedure.starts_with.empty()) return;
    Touched others = touched_;
    for (const InstanceId its : touched_by(index, Binding{})) others.erase(its);
    // What it may owe is paid by those who have to do with it.
    std::erase_if(others, [&](InstanceId each) {
        bool away = false;
        ways_.each(standing(each), [&](const Standing& s, const Answers&) {
            away = away || (s.place_known() && s.place != 0);
            return !away;
        });
        return !away;
    });
    const State left = state_;
    ends({}, Binding{}, others, at, procedure.source->source->id.value);
    state_ = left; // it goes on as it stands
}

Boundaries Machine::boundaries(fitted::ProcedureIndex index) {
    Boundaries made;
    const fitted::Procedure& procedure = fit_.procedures[index.index()];
    made.all_in_place = procedure.starts_with.empty();
    const auto anyhow = [&](InstanceId at) {
        return fit_.items[fit_.instances[at.index()].item.index()].is.rests_anywhere; // the card asks for it
    };
    for (const InstanceId at : touched_by(index, Binding{}))
        if (!anyhow(at)) made.begins[at] = made.ends[at] = {};
    const auto say = [&](const std::vector<linked::Entering>& contract, std::map<InstanceId, Stands>& to) {
        for (const linked::Entering& entering : contract)
            if (entering.item.known())
                for (const InstanceId at : instances(entering.item, {}, nullptr))
                    if (!anyhow(at)) to[at] = {!entering.has_place, entering.place, entering.owes};
    };
    // What it asks for and does not say how it leaves, it leaves at rest.
    say(procedure.starts_with, made.begins);
    for (const auto& [at, is] : made.begins) made.ends[at] = {};
    say(procedure.ends_with, made.ends);
    return made;
}

void Machine::job() {
    for (const fitted::ProcedureIndex index : fit_.sequence)
        if (index.known()) touched_by(index, Binding{});
    for (const fitted::ProcedureIndex index : fit_.sequence)
        left_by_card_.push_back(index.known() ? left_alone_[index] : std::vector<Left>());
    // A blank card ends as its contract says, which is now proved; and a job whose cards are wrong by themselves waits for them.
    if (!fit_.job.known() || std::any_of(told_.begin(), told_.end(), is_error)) return;
    state_ = resting_;
    path_.clear();
    log_.clear();
    touched_.clear();
    const linked::Job* job = &linked_.jobs[fit_.job.index()];
    for (std::size_t i = 0; i < fit_.sequence.size(); ++i) {
        const fitted::ProcedureIndex index = fit_.sequence[i];
        if (!index.known()) return; // how the vehicle is after what could not be read, nobody knows
        const source::Span at = i < job->procedures.size() ? job->procedures[i].second : job->source->id.span;
        ask_for(index);
        const std::size_t found_before = findings_.size();
        all_in_place(index, at);
        call_walk(index, Binding{}, at);
        if (!begins_as_asked(found_before, at)) {
            if (tell_order(found_before, fit_.procedures[index.index()])) return;
            tell_left_out(found_before, i, at);
        }
        left_by_card_[i] = unfinished();
        if (alive() != Ways::ended) continue;
        // Every way stops here.
        if (i + 1 < fit_.sequence.size() && i + 1 < job->procedures.size())
            report_machine("unreachable", job->procedures[i + 1].second,
                           "this work is never begun: every way stops before it");
        return;
    }
    const Touched touched = touched_;
    of_job_ = true;
    const std::size_t found_before = findings_.size();
    ends({}, Binding{}, touched, job->source->id.span);
    tell_help_once(found_before);
}

// One procedure that is missing leaves many things as they may not be.
void Machine::tell_help_once(std::size_t first) {
    for (std::size_t i = first; i < findings_.size(); ++i) {
        std::vector<messages::Label> more;
        const auto others = std::remove_if(
            findings_.begin() + static_cast<std::ptrdiff_t>(i) + 1, findings_.end(), [&](const Finding& each) {
                if (each.help.empty() || each.help != findings_[i].help || each.item == findings_[i].item) return false;
                if (!each.more.empty()) more.push_back({each.more.front().span, "left so, too"});
                return true;
            });
        findings_.erase(others, findings_.end());
        findings_[i].more.insert(findings_[i].more.end(), more.begin(), more.end());
    }
}

// What is not at rest on the ways that are still going.
std::vector<Left> Machine::unfinished() {
    std::vector<Left> all;
    for (std::size_t i = 0; i < fit_.instances.size(); ++i) {
        const fitted::Item& item = fit_.items[fit_.instances[i].item.index()];
        if (!item.present || item.is.rests_anywhere) continue;
        Left left{fit_.instances[i].item, fit_.instances[i].value, 0, 0};
        ways_.each(standing(InstanceId(i)), [&](const Standing& s, const Answers&) {
            if (s.place_known()) left.place = std::max(left.place, s.place);
            for (std::size_t d = 0; d < model::debt_count; ++d) {
                const auto debt = static_cast<Debt>(d);
                if ((model::bit(debt) & fact_bits) == 0 && s.owes(debt)) left.owes |= model::bit(debt);
            }
            return true;
        });
        if (left.place != 0 || left.owes != 0) all.push_back(left);
    }
    return all;
}

void prove_procedures(const fitted::Fitted& fitted, std::size_t fit, messages::Messages& messages, Tells tells) {
    Machine machine(fitted, fit, messages, tells);
    for (std::size_t i = 0; i < fitted.fits[fit].procedures.size(); ++i)
        machine.procedure_alone(fitted::ProcedureIndex(i));
    machine.tell();
}

std::optional<Proved> prove_job(const fitted::Fitted& fitted, std::size_t fit, messages::Messages& messages) {
    // Of a job whose vehicle is not known nothing is fitted, and it was said why.
    if (!fitted.fits[fit].vehicle.known()) return std::nullopt;
    Machine machine(fitted, fit, messages);
    machine.job();
    machine.tell();
    if (messages.any_error() || machine.lost_sight()) return std::nullopt;
    Proved proved(fitted, fit);
    proved.cards_ = machine.left_by_card();
    return proved;
}

} // namespace benchleaf::proof
