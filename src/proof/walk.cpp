#include "proof/machine.h"

namespace benchleaf::proof {

namespace {

// Every question that a row names, however deep inside it.
void named_in(const Row& row, std::set<linked::StepId>& names) {
    for (const linked::Answer& answer : row.answers) names.insert(answer.question);
    for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise})
        for (const Row& each : *inner) named_in(each, names);
}

// A name in it was not found, and that was told.
bool lacks_target(const Row& row) {
    if (row.step == nullptr || row.verb == model::VerbName::do_procedure) return false;
    if (std::any_of(row.step->to.begin(), row.step->to.end(), [](ItemId id) { return !id.known(); })) return true;
    return !row.step->consumable.known() &&
           std::any_of(row.step->targets.begin(), row.step->targets.end(),
                       [](const linked::Target& target) { return !target.item.known() && !target.limit.known(); });
}

} // namespace

void Machine::plan(const fitted::Procedure& procedure) {
    std::map<linked::StepId, std::size_t> last; // the last section that names a question
    for (std::size_t i = 0; i < procedure.sections.size(); ++i) {
        std::set<linked::StepId> names;
        for (const Row& row : procedure.sections[i].rows) named_in(row, names);
        for (const linked::StepId name : names) last[name] = i;
    }
    for (std::size_t i = 0; i < procedure.sections.size(); ++i) {
        const auto open = plan(procedure.sections[i].rows, [&](linked::StepId question) {
            const auto at = last.find(question);
            return at != last.end() && at->second > i;
        });
        for (const Row* question : open)
            forget_after_section_[&procedure.sections[last.at(question->id)]].push_back(question);
    }
}

// Gives the questions that are named after this list. What a list asks is known to those after it only if the list is a section's or
// a repeat's body.
std::vector<const Row*> Machine::plan(const fitted::Rows& rows, const Named& named_later) {
    std::map<linked::StepId, std::size_t> last; // the last row that names a question
    for (std::size_t i = 0; i < rows.size(); ++i) {
        std::set<linked::StepId> names;
        named_in(rows[i], names);
        for (const linked::StepId name : names) last[name] = i;
    }
    std::vector<const Row*> handed_on;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const Row& row = rows[i];
        std::vector<const Row*> asked;
        if (row.kind == fitted::RowKind::question && row.answer_used) asked.push_back(&row);
        if (row.kind == fitted::RowKind::repeat) {
            std::set<linked::StepId> in_else;
            for (const Row& each : row.otherwise) named_in(each, in_else);
            const auto open = plan(row.body, [&](linked::StepId question) {
                const auto at = last.find(question);
                return in_else.contains(question) || (at != last.end() && at->second > i) || named_later(question);
            });
            asked.insert(asked.end(), open.begin(), open.end());
        }
        for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.otherwise})
            plan(*inner, [](linked::StepId) { return false; });
        for (const Row* question : asked) {
            if (named_later(question->id)) {
                handed_on.push_back(question);
                continue;
            }
            const auto at = last.find(question->id);
            forget_after_[&rows[at == last.end() ? i : std::max(i, at->second)]].push_back(question);
        }
    }
    return handed_on;
}

void Machine::walk(const fitted::Procedure& procedure, const Binding& caller) {
    const linked::AxisId outer = std::exchange(only_along_, procedure.axis);
    const fitted::Procedure* around = std::exchange(within_, &procedure);
    for (const fitted::Section& section : procedure.sections) {
        const bool narrowed = caller.value != no_value && caller.axis == procedure.axis;
        if (section.bound && !narrowed && &section != once_) {
            for (const AxisValue value : procedure.values)
                walk_rows(section.rows, Binding{procedure.axis, value}, &procedure);
        } else {
            walk_rows(section.rows, caller, &procedure);
        }
        const auto forgotten = forget_after_section_.find(&section);
        if (forgotten == forget_after_section_.end()) continue;
        for (const Row* question : forgotten->second) {
            forget(*question, no_value);
            for (const AxisValue value : procedure.values) forget(*question, value);
            if (caller.value != no_value) forget(*question, caller.value);
        }
    }
    within_ = around;
    only_along_ = outer;
}

void Machine::not_reached(const Row& row, std::string what, const fitted::Procedure* top, std::string help) {
    not_reached_.push_back({&row, top, std::move(what), std::move(help)});
}

void Machine::walk_rows(const fitted::Rows& rows, const Binding& binding, const fitted::Procedure* top) {
    for (const Row& row : rows) {
        if (alive() == Ways::ended) {
            if (row.kind != fitted::RowKind::hole)
                not_reached(row, "no way leads here: the work has stopped before this step", top,
                            &row != rows.data() && (&row - 1)->kind == fitted::RowKind::stop
                                ? "move it before the `stop`, or leave it out"
                                : "");
            break;
        }
        // A procedure that is called side by side may have an axis of its own; what it narrows along that is not narrowed by the caller's.
        const bool elsewhere = !row.only.empty() && binding.value != no_value && binding.axis == only_along_ &&
                               std::find(row.only.begin(), row.only.end(), binding.value) == row.only.end();
        if (!elsewhere) walk_row(row, binding);
        const auto forgotten = forget_after_.find(&row);
        if (forgotten == forget_after_.end()) continue;
        for (const Row* question : forgotten->second) forget(*question, binding.value);
    }
}

void Machine::walk_row(const Row& row, const Binding& binding) {
    const Depth deeper(*this);
    base::require(depth_ < 10000, "a walk is bounded in depth");
    if (without_.contains(&row)) return;
    if (row.kind != fitted::RowKind::if_answered) reached_.insert(&row);
    judge_step(row);
    switch (row.kind) {
    case fitted::RowKind::hole:
        if (row.step != nullptr && row.step->kind == linked::StepKind::hole) lose_sight();
        return;
    case fitted::RowKind::plain:
        let_time_pass(row);
        return leave_step(row, model::step_effects(), binding);
    case fitted::RowKind::verb:
        row.verb == model::VerbName::do_procedure ? call(row, binding) : work(row, binding);
        if (lacks_target(row)) lose_sight();
        leave_step(row, model::verb(row.verb).leaves, binding);
        let_time_pass(row);
        return leave_step(row, model::step_effects(), binding);
    case fitted::RowKind::question:
        return question(row, binding);
    case fitted::RowKind::if_answered:
        return if_answered(row, binding);
    case fitted::RowKind::repeat:
        return repeat(row, binding);
    case fitted::RowKind::stop:
        return stop(row, binding);
    }
}

Standing Machine::merge(const Standing& a, const Standing& b, InstanceId at, const Row& row, std::string_view check) {
    Standing both = a;
    // Of the one that owes more: what both owe may be paid before it is told.
    const bool b_owes_more = (b.debts() & ~a.debts()) != 0 && (a.debts() & ~b.debts()) == 0;
    if (both.indebted == nullptr || b_owes_more) both.indebted = b.indebted;
    if (both.coated == nullptr) both.coated = b.coated;
    both.bits = a.bits | b.bits;
    both.on = a.on | b.on;
    if (a.place == b.place) return both;
    both.place = unknown_place;
    if (!a.place_known() || !b.place_known()) return both;
    // What a step brought about that was told to be wrong may differ because of that.
    for (const Standing* s : {&a, &b})
        if (s->placed != nullptr && faulty_.contains({s->placed, at})) return both;
    // What drifts in a repeat drifts in the one around it.
    if (check == "repeat-drifts")
        for (const auto& [inner, what] : drifted_)
            if (what == at && holds(row.body, *inner)) return both;
    const fitted::Instance& instance = fit_.instances[at.index()];
    const fitted::Item& item = fit_.items[instance.item.index()];
    const std::string first = item.is.places[a.place].name;
    const std::string second = item.is.places[b.place].name;
    if (check == "repeat-drifts") drifted_.insert({&row, at});
    report_machine(check, head_span(row),
                   check == "repeat-drifts"
                       ? "{item} is " + first + " when the repeat begins and " + second + " when it comes round{sides}"
                       : "one way leaves {item} " + first + " and the other " + second + "{sides}",
                   instance.item, instance.value);
    for (const Standing* s : {&a, &b})
        if (s->placed != nullptr)
            findings_.back().more.push_back(
                {target_span(*s->placed, instance.item), item.is.places[s->place].name + " since here"});
    const Row* narrow = check == "repeat-drifts" ? remedies_.narrowed_on(row.body, instance.item, a.place) : nullptr;
    if (narrow != nullptr)
        findings_.back().more.push_back({target_span(*narrow, instance.item), "not here for {values}"});
    if (check != "repeat-drifts") {
        remedies_.agree(row, a, b, findings_.back());
    } else {
        std::string round = remedies_.begin_round(row, instance.item, a, b);
        if (round.empty() && narrow == nullptr) round = remedies_.end_round(row, instance.item, a, b, findings_.back());
        findings_.back().help = !round.empty() ? round
                                : narrow != nullptr
                                    ? widened(remedies_.says(*narrow))
                                    : "leave it " + first + " again by the end of a round, or bring it to " + second +
                                          " before the first one";
    }
    for (const Standing* s : {&a, &b}) // told once
        if (s->placed != nullptr && findings_.back().help.starts_with(widened_begins)) faulty_.insert({s->placed, at});
    return both;
}

Way Machine::join_slot(InstanceId at, Way a, Way b, const Row& row, std::string_view check) {
    if (at == alive_slot_) return ways_.either_alive(a, b);
    if (at.index() >= first_reading_)
        return ways_.join(a, b, [&](const Standing& x, const Standing& y) {
            Standing both = x;
            both.bits |= y.bits;
            if (at.index() < first_thread_ && (y.on & ~x.on & not_judged) != 0) both.coated = y.coated;
            both.on = at.index() < first_thread_ ? x.on | y.on : std::max(x.on, y.on);
            if (both.placed == nullptr ||
                (at.index() < first_thread_ && (y.on & ~x.on & (older_than_work | judged_before)) != 0))
                both.placed = y.placed;
            if (both.indebted == nullptr) both.indebted = y.indebted;
            if (both.coated == nullptr) both.coated = y.coated;
            return both;
        });
    return ways_.join(a, b, [&](const Standing& x, const Standing& y) { return merge(x, y, at, row, check); });
}

void Machine::question(const Row& row, const Binding& binding) {
    judge_readings(row, binding);
    if (const Decision* decision = decisions_.find(row))
        decided(row, *decision, binding,
                "this was decided before, and nothing was read, renewed or adjusted since: the answer is the same");
    const auto asked = static_cast<Asked>(asked_rows_.size());
    asked_rows_.push_back(&row);
    const Branch yes = branch({}, [&] { walk_rows(row.if_so, binding); });
    const Branch no = branch({}, [&] { walk_rows(row.if_not, binding); });

    std::set<InstanceId> slots;
    for (const Branch* side : {&yes, &no})
        for (const auto& [at, way] : *side) slots.insert(at);
    const auto value_on = [&](const Branch& side, InstanceId at) {
        const auto found = side.find(at);
        return found != side.end() ? found->second : ways_.given(raw(at), path_);
    };
    const Way alive_yes = value_on(yes, alive_slot_);
    const Way alive_no = value_on(no, alive_slot_);
    for (const InstanceId at : slots) {
        Way on_yes = value_on(yes, at);
        Way on_no = value_on(no, at);
        if (row.answer_used) {
            set(at, ways_.either(asked, on_yes, on_no));
            continue;
        }
        if (at != alive_slot_) {
            on_yes = ways_.where(on_yes, alive_yes);
            on_no = ways_.where(on_no, alive_no);
        }
        set(at, join_slot(at, on_yes, on_no, row, "ways-differ"));
    }
    if (!row.answer_used) return;
    const QuestionKey key{row.id, binding.value};
    forget(row, binding.value); // an answer of a round before
    live_[key] = LiveQuestion{asked, std::move(slots)};
    asked_keys_.push_back(key);
}

void Machine::if_answered(const Row& row, const Binding& binding) {
    Answers answers;
    std::vector<LiveQuestion*> questions;
    for (const linked::Answer& answer : row.answers) {
        auto live = live_.find({answer.question, binding.value});
        if (live == live_.end()) live = live_.find({answer.question, no_value});
        if (live == live_.end()) {
            const bool elsewhere = std::any_of(live_.begin(), live_.end(),
                                               [&](const auto& l) { return l.first.first == answer.question; });
            report_machine("not-asked-here", answer.span,
                           !elsewhere                  ? "the question is not asked where this is worked"
                           : binding.value == no_value ? "this is worked once, and the question is asked side by side"
                                                       : "the question is asked on another side only");
            findings_.back().help = "give this step the `when` and `only` of the question";
            return;
        }
        answers.emplace_back(live->second.asked, answer.yes);
        questions.push_back(&live->second);
    }
    for (const auto& [asked, yes] : answers) {
        const auto contradicted = std::find(path_.begin(), path_.end(), std::pair(asked, !yes));
        if (contradicted != path_.end())
            return not_reached(row, "no way leads here: the question was answered otherwise on this way", nullptr);
    }
    const Way before_alive = ways_.given(alive(), answers);
    if (before_alive == Ways::ended)
        return not_reached(row, "no way leads here: that answer ends the work before this step", nullptr);
    reached_.insert(&row);
    const Branch done = branch(answers, [&] { walk_rows(row.if_so, binding); });
    for (const auto& [at, way] : done) {
        Way inside = way;
        const Way old = ways_.given(raw(at), path_);
        // From the last answer outwards: inside where all hold, as it was elsewhere.
        for (std::size_t i = answers.size(); i > 0; --i) {
            const auto& [asked, yes] = answers[i - 1];
            inside = yes ? ways_.either(asked, inside, ways_.given(old, {{asked, false}}))
                         : ways_.either(asked, ways_.given(old, {{asked, true}}), inside);
        }
        set(at, inside);
        for (LiveQuestion* question : questions) question->depend.insert(at);
    }
}

// Joins the two ways of a question that nothing names any more.
void Machine::forget(const Row& row, AxisValue value) {
    const auto found = live_.find({row.id, value});
    if (found == live_.end()) return;
    const LiveQuestion live = std::move(found->second);
    live_.erase(found);
    const Answers yes{{live.asked, true}};
    const Answers no{{live.asked, false}};
    const Way before = ways_.given(raw(alive_slot_), path_);
    const Way alive_yes = ways_.given(before, yes);
    const Way alive_no = ways_.given(before, no);
    for (const InstanceId at : live.depend) {
        if (at == alive_slot_) continue;
        const Way way = ways_.given(raw(at), path_);
        set(at, join_slot(at, ways_.where(ways_.given(way, yes), alive_yes),
                          ways_.where(ways_.given(way, no), alive_no), row, "ways-differ"));
    }
    set(alive_slot_, ways_.either_alive(alive_yes, alive_no));
}

// Where the first round begins otherwise than all later ones: a nut that comes in tight and is snug at the end of each round. After the first
// round (`start`: how things stood before it), is every place that it left elsewhere left so by the second one, too, and has that nothing
// against it?
bool Machine::settles(const Row& row, const Binding& binding, const std::map<InstanceId, Way>& start) {
    const auto moved = [&](Way from, Way to) {
        bool differ = false;
        ways_.join(from, to, [&](const Standing& x, const Standing& y) {
            differ = differ || (x.place != y.place && x.place_known() && y.place_known());
            return x;
        });
        return differ;
    };
    const Way going = alive();
    const auto now = [&](InstanceId at) { return ways_.where(ways_.given(state_[at.index()], path_), going); };
    bool any = false;
    for (const auto& [at, before] : start)
        any = any || (at != alive_slot_ && moved(ways_.given(before, path_), now(at)));
    if (!any) return false;
    const std::size_t mark = log_.size();
    const std::size_t told = findings_.size();
    const auto faulty = faulty_;
    const auto drifted = drifted_;
    const auto late = late_;
    const std::size_t asked = asked_keys_.size();
    const std::size_t memory = memory_log_.size();
    remembered({&row.body, binding.axis, binding.value}, [&] { walk_rows(row.body, binding); });
    bool settled = alive() == going;
    for (std::size_t i = asked; i < asked_keys_.size(); ++i) settled = settled && !live_.contains(asked_keys_[i]);
    asked_keys_.resize(asked);
    for (std::size_t i = told; i < findings_.size(); ++i)
        settled = settled && std::any_of(findings_.begin(), findings_.begin() + static_cast<std::ptrdiff_t>(told),
                                         [&](const Finding& known) { return known.same_fault(findings_[i]); });
    std::map<InstanceId, Way> written;
    for (std::size_t i = log_.size(); i > mark; --i) written[log_[i - 1].first] = log_[i - 1].second;
    for (const auto& [at, before] : written)
        settled = settled && (at == alive_slot_ || !moved(ways_.where(ways_.given(before, path_), going), now(at)));
    for (const auto& [at, before] : written) state_[at.index()] = before;
    log_.resize(mark);
    findings_.resize(told);
    faulty_ = faulty;
    drifted_ = drifted;
    late_ = late;
    // What was found in vain has to be found again where the same work is really done.
    for (; !settled && memory_log_.size() > memory; memory_log_.pop_back()) memory_[memory_log_.back()].pop_back();
    return settled;
}

void Machine::repeat(const Row& row, const Binding& binding) {
    // Places at the end equal those at the start, or those at the end of the first round if that begins otherwise. Each row makes and pays
    // debts of its own whatever was owed before: one more round reaches the fixpoint, and the last one finds that nothing grew.
    constexpr int most_rounds = 8;
    const Decision* decision = decisions_.find(row);
    const Decision* rounds = decisions_.find_rounds(row);
    if (rounds != nullptr) stale(*rounds, binding);
    bool reckoned = false;               // how long locker waits in all rounds
    std::map<InstanceId, Way> after_one; // where the first round is one by itself: how it leaves things
    for (int round = 0;; ++round) {
        base::require(round < most_rounds, "a repeat reaches its fixpoint");
        const std::size_t mark = log_.size();
        const std::size_t asked_before = asked_keys_.size();
        remembered({&row.body, binding.axis, binding.value}, [&] { walk_rows(row.body, binding); });
        if (rounds != nullptr)
            decided(row, *rounds, binding, "nothing that decides this is read, renewed or adjusted within a round");
        if (decision != nullptr) stale(*decision, binding);
        decide_by_readings(row, binding, findings_.size());
        std::map<InstanceId, Way> start;
        for (std::size_t i = log_.size(); i > mark; --i) start[log_[i - 1].first] = log_[i - 1].second;
        // The next round asks anew: what depends on this one's answers is joined on the way back.
        std::vector<Asked> answered;
        std::vector<QuestionKey> keys(asked_keys_.begin() + static_cast<std::ptrdiff_t>(asked_before),
                                      asked_keys_.end());
        for (const QuestionKey& key : keys) {
            const auto live = live_.find(key);
            if (live != live_.end()) answered.push_back(live->second.asked);
        }
        const auto on_the_way_back = [&](InstanceId at, Way way) {
            for (const Asked asked : answered)
                way = join_slot(at, ways_.given(way, {{asked, true}}), ways_.given(way, {{asked, false}}), row,
                                "repeat-drifts");
            return way;
        };
        const Way alive_end = alive();
        if (round == 0 && answered.empty() && alive_end != Ways::ended && settles(row, binding, start)) {
            for (const auto& [at, before] : start) after_one.emplace(at, ways_.given(state_[at.index()], path_));
            continue;
        }
        std::vector<std::pair<InstanceId, Way>> next;
        if (on_the_way_back(alive_slot_, alive_end) != Ways::ended) {
            for (const auto& [at, before] : start) {
                if (at == alive_slot_) continue;
                const Way from = ways_.given(before, path_);
                const Way end = on_the_way_back(at, ways_.where(ways_.given(state_[at.index()], path_), alive_end));
                const bool thread = at.index() >= first_thread_;
                if (thread && reckoned) continue; // reckoned for all rounds after the first
                const Way both =
                    thread ? waited_in_rounds(at, from, end, row) : join_slot(at, from, end, row, "repeat-drifts");
                if (!ways_.same_state(both, from)) next.emplace_back(at, both);
            }
        }
        reckoned = true;
        if (next.empty()) break;
        for (const auto& [at, before] : start) state_[at.index()] = before;
        log_.resize(mark);
        for (const QuestionKey& key : keys) live_.erase(key);
        asked_keys_.resize(asked_before);
        for (const auto& [at, way] : next) set(at, way);
    }
    for (const auto& [at, way] : after_one) set(at, join_slot(at, way, raw(at), row, "repeat-drifts"));
    if (row.otherwise.empty() || alive() == Ways::ended) return;
    const Branch failed = branch({}, [&] { walk_rows(row.otherwise, binding); });
    const Way alive_before = alive();
    const auto after = failed.find(alive_slot_);
    const Way alive_failed = after != failed.end() ? after->second : alive_before;
    for (const auto& [at, way] : failed) {
        if (at == alive_slot_) {
            set(at, ways_.either_alive(alive_before, way));
        } else {
            set(at, join_slot(at, ways_.where(ways_.given(raw(at), path_), alive_before),
                              ways_.where(way, alive_failed), row, "ways-differ"));
        }
    }
}

void Machine::stop(const Row& row, const Binding& binding) {
    static_cast<void>(binding);
    for (std::size_t i = 0; i < fit_.instances.size(); ++i) {
        const fitted::Item& item = fit_.items[fit_.instances[i].item.index()];
        if (!item.present) continue;
        Moment now = moment_at(fit_.instances[i].item, InstanceId(i), head_span(row));
        now.row = &row;
        for (const Check* check : at_stop_) check->judge(now, *check);
    }
    set(alive_slot_, Ways::ended);
}

} // namespace benchleaf::proof
