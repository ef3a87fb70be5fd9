#include "proof/machine.h"

namespace benchleaf::proof {

InstanceId Machine::decision_slot(const Decision& decision, const Binding& binding) const {
    return InstanceId(air_slot_.index() + 1 + decisions_.slot(decision, binding.axis, binding.value));
}

void Machine::stale(const Decision& decision, const Binding& binding) {
    const InstanceId at = decision_slot(decision, binding);
    set(at, ways_.changed(ways_.given(raw(at), path_), [&](const Standing& before) {
        Standing after = before;
        after.on = 0;
        after.coated = decision.row;
        return after;
    }));
}

void Machine::read_anew(const std::vector<std::size_t>& decisions, const Binding& binding) {
    for (const std::size_t which : decisions) {
        // Most are of procedures that are not worked here. (A block that is recorded has looked at them all the same.)
        const std::size_t first = air_slot_.index() + 1 + decisions_.first_slot(which);
        const auto from = state_.begin() + static_cast<std::ptrdiff_t>(first);
        if (recorders_.empty() && std::equal(from, from + static_cast<std::ptrdiff_t>(decisions_.width()),
                                             resting_.begin() + static_cast<std::ptrdiff_t>(first)))
            continue;
        // What is read on one side is new to a decision on that side, and to one on all of them.
        for (const std::size_t slot : decisions_.touched(which, binding.axis, binding.value)) {
            const InstanceId at(air_slot_.index() + 1 + slot);
            if (raw(at) == resting_[at.index()]) continue; // not decided
            set(at, ways_.changed(ways_.given(raw(at), path_), [](const Standing& before) {
                Standing after = before;
                after.on = read_since;
                return after;
            }));
        }
    }
}

// Does it rest on a reading that was taken on no way? That was told when it was fitted.
bool Machine::told_unread(linked::LimitId limit) const {
    return within_ != nullptr &&
           std::find(within_->unread.begin(), within_->unread.end(), limit) != within_->unread.end();
}

bool Machine::never_read(const Row& row, const Binding& binding) {
    return std::any_of(row.limits.begin(), row.limits.end(), [&](const fitted::LimitUse& use) {
        if (told_unread(use.figure.limit)) return true;
        const std::vector<std::size_t> all = readings_of(use, binding);
        return std::any_of(all.begin(), all.end(), [&](std::size_t which) {
            bool read = false;
            ways_.each(standing(reading_slot(which)), [&](const Standing& s, const Answers&) {
                read = read || (s.on & was_read) != 0;
                return !read;
            });
            return !read;
        });
    });
}

// It is told only where nothing is new on any way that leads here.
void Machine::decided(const Row& row, const Decision& decision, const Binding& binding, std::string_view what) {
    const InstanceId at = decision_slot(decision, binding);
    bool anything_new = false;
    const Row* before = nullptr;
    ways_.each(standing(at), [&](const Standing& s, const Answers&) {
        anything_new = anything_new || s.on == read_since;
        if (s.coated != nullptr) before = s.coated;
        return true;
    });
    if (!anything_new && alive() != Ways::ended && !never_read(row, binding)) {
        report_machine("decided-twice", decision.at, std::string(what));
        Finding& finding = findings_.back();
        finding.help = decision.help;
        if (before != nullptr && before != &row)
            finding.more.push_back({decisions_.find(*before)->at, "decided by the same here"});
    }
    stale(decision, binding);
}

std::vector<std::size_t> Machine::readings_of(const fitted::LimitUse& use, const Binding& binding) const {
    std::vector<std::size_t> all;
    if (!use.figure.limit.known()) return all;
    std::set<InstanceId> of;
    for (std::size_t i = 0; i < use.of.size(); ++i)
        for (const InstanceId at : instances(use.of[i], binding, i < use.values.size() ? &use.values[i] : nullptr))
            of.insert(at);
    for (const std::size_t which : readings_.of(use.figure.limit))
        if (!readings_.slots()[which].of.known() || of.contains(readings_.slots()[which].of)) all.push_back(which);
    return all;
}

bool Machine::proves_something(linked::LimitId limit) const {
    const std::vector<ItemId>& proves = linked_.limits[limit.index()].proves;
    return std::any_of(proves.begin(), proves.end(),
                       [&](ItemId each) { return each.known() && fit_.items[each.index()].present; });
}

void Machine::change_slot(InstanceId slot, const std::function<void(Standing&)>& how) {
    set(slot, ways_.changed(ways_.given(raw(slot), path_), [&](const Standing& before) {
        Standing after = before;
        how(after);
        return after;
    }));
}

// Of what is read; where a limit does not say of what it is, of what it proves.
Moment::Reading Machine::reading(std::size_t which, const fitted::LimitUse* use) const {
    const auto& [limit, of] = readings_.slots()[which];
    Moment::Reading made{limit, use, reading_slot(which), {}, of, no_value};
    if (of.known()) {
        made.item = fit_.instances[of.index()].item;
        made.value = fit_.instances[of.index()].value;
        return made;
    }
    for (const ItemId proved : linked_.limits[limit.index()].proves)
        if (proved.known() && fit_.items[proved.index()].present) made.item = proved;
    return made;
}

// The adjustments that are proved by what a step decides by.
std::vector<Moment::Reading> Machine::read_for_adjustments(const Row& row, const Binding& binding) const {
    std::vector<Moment::Reading> all;
    for (const fitted::LimitUse& use : row.limits) {
        if (!use.figure.limit.known()) continue;
        for (const ItemId which : linked_.limits[use.figure.limit.index()].proves) {
            if (!which.known() || !fit_.items[which.index()].present) continue;
            for (const InstanceId at : instances(which, binding, nullptr))
                all.push_back({use.figure.limit, &use, {}, which, at, fit_.instances[at.index()].value});
        }
    }
    return all;
}

void Machine::take_readings(const Row& row, const Binding& binding) {
    for (const fitted::LimitUse& use : row.limits)
        for (const std::size_t which : readings_of(use, binding))
            change_slot(reading_slot(which), [&](Standing& s) {
                if ((s.on & was_worked) != 0) s.on |= not_judged;
                s.on = (s.on & ~(older_than_work | judged_before | was_worked)) | was_read;
                s.coated = &row;
            });
}

void Machine::judge_readings(const Row& row, const Binding& binding) {
    if (row.limits.empty()) return;
    const std::size_t first = findings_.size();
    Moment now = moment(head_span(row));
    now.row = &row;
    now.readings = read_for_adjustments(row, binding);
    ask("read-too-early", now);
    take_blame(first);
    decide_by_readings(row, binding, first);
}

// What is found of a limit from the `first` on says already that its reading is an old one.
void Machine::decide_by_readings(const Row& row, const Binding& binding, std::size_t first) {
    if (row.limits.empty()) return;
    const auto told = [&](linked::LimitId limit) {
        return std::any_of(findings_.begin() + static_cast<std::ptrdiff_t>(first), findings_.end(),
                           [&](const Finding& finding) { return finding.limit == limit; });
    };
    Moment now = moment(head_span(row));
    now.row = &row;
    std::vector<InstanceId> judged;
    for (const fitted::LimitUse& use : row.limits)
        for (const std::size_t which : readings_of(use, binding)) {
            judged.push_back(reading_slot(which));
            if (!told(use.figure.limit) && !(row.kind == fitted::RowKind::repeat && told_unread(use.figure.limit)))
                now.readings.push_back(reading(which, &use));
        }
    ask("read-before-work", now);
    for (const InstanceId slot : judged)
        change_slot(slot, [&](Standing& s) {
            if ((s.on & older_than_work) != 0) s.on |= told_old;
            s.on = (s.on & ~(older_than_work | not_judged | judged_before | was_worked)) | was_judged;
            s.indebted = &row;
        });
}

void Machine::make_older(linked::LimitId limit, InstanceId by, const Row& row, bool is_new) {
    const fitted::Instance& worked_on = fit_.instances[by.index()];
    const bool proves = proves_something(limit);
    for (const std::size_t which : readings_.of(limit)) {
        const InstanceId of = readings_.slots()[which].of;
        if (of.known()) {
            const std::vector<InstanceId> near =
                beside(fit_.instances[of.index()].item, worked_on.item, worked_on.value);
            if (std::find(near.begin(), near.end(), of) == near.end()) continue;
        }
        change_slot(reading_slot(which), [&](Standing& s) {
            if ((s.on & was_read) != 0) s.on |= older_than_work;
            if (!is_new) s.on |= was_worked;
            if (!is_new && !proves && (s.on & was_judged) != 0) s.on |= judged_before;
            s.placed = &row;
        });
    }
}

// An adjustment that is made; what moves it, or sets what is read by how tight it is, once it is back at rest: until then a decision may rest on
// what was read before. A new thing has no reading yet; what is read of it once it is in need not be judged.
void Machine::worked(const Row& row, InstanceId at, const model::Deed& deed) {
    const ItemId item = fit_.instances[at.index()].item;
    const auto has = [&](Effect effect) {
        return std::find(deed.effects.begin(), deed.effects.end(), effect) != deed.effects.end();
    };
    if (has(Effect::as_new))
        for (const linked::LimitId limit : readings_.read_of(item)) make_older(limit, at, row, true);
    const bool set_anew = has(Effect::pay_adjust);
    const bool comes_to_rest =
        deed.to == model::Leaves::rest && fit_.items[item.index()].is.sort != linked::Sort::setting;
    if (!set_anew && !comes_to_rest) return;
    if (set_anew)
        for (const linked::LimitId limit : fit_.items[item.index()].is.proved_by)
            if (limit.known()) make_older(limit, at, row, false);
    for (const ItemId part : readings_.set_by(item))
        for (const linked::LimitId limit : readings_.read_of(part)) make_older(limit, at, row, false);
    std::vector<InstanceId> open{at};
    std::set<InstanceId> seen{at};
    while (!open.empty()) {
        const InstanceId by = open.back();
        open.pop_back();
        const fitted::Instance& from = fit_.instances[by.index()];
        for (const ItemId adjustment : fit_.items[from.item.index()].is.disturbs) {
            if (!adjustment.known() || !fit_.items[adjustment.index()].present) continue;
            for (const InstanceId each : beside(adjustment, from.item, from.value)) {
                if (!seen.insert(each).second) continue;
                open.push_back(each);
                for (const linked::LimitId limit : fit_.items[adjustment.index()].is.proved_by)
                    if (limit.known()) make_older(limit, each, row, false);
            }
        }
    }
}

// What has still to be read at the end was read too early for every decision, too: the step that is missing is the same, and it is asked for once.
void Machine::forget_old_readings(std::size_t ended) {
    if (sight_) return; // what was found before a step that could not be read is counted
    std::vector<ItemId> owing;
    for (std::size_t i = ended; i < findings_.size(); ++i)
        if (findings_[i].check->rule.name == "left-owing") owing.push_back(findings_[i].item);
    std::set<std::size_t> gone;
    add_drifts(ended, gone);
    for (std::size_t i = 0; i < findings_.size(); ++i) {
        if (findings_[i].check->rule.name != "read-before-work") continue;
        const std::vector<ItemId>& proves = linked_.limits[findings_[i].limit.index()].proves;
        if (std::any_of(owing.begin(), owing.end(),
                        [&](ItemId each) { return std::find(proves.begin(), proves.end(), each) != proves.end(); }))
            gone.insert(i);
    }
    std::size_t at = 0;
    std::erase_if(findings_, [&](const Finding&) { return gone.contains(at++); });
}

// What a round leaves away, and is away in the end, is told as that alone: where it is brought back, no round drifts.
void Machine::add_drifts(std::size_t ended, std::set<std::size_t>& to) const {
    for (std::size_t i = ended; i < findings_.size(); ++i) {
        if (findings_[i].told_debts != 0) continue; // what is owed is another matter than where it is
        for (const auto& [at, standing] : findings_[i].blamed)
            for (const auto& [repeat, what] : drifted_) {
                if (what != at || standing.placed == nullptr || !holds(repeat->body, *standing.placed)) continue;
                for (std::size_t told = 0; told < ended; ++told)
                    if (findings_[told].check->rule.name == "repeat-drifts" &&
                        findings_[told].item == findings_[i].item && findings_[told].value == findings_[i].value)
                        to.insert(told);
            }
    }
}

// At the end of a procedure: what was decided once is judged by its last reading, too.
void Machine::judge_last_readings() {
    Moment now = moment({});
    for (std::size_t which = 0; which < readings_.slots().size(); ++which)
        now.readings.push_back(reading(which, nullptr));
    ask("read-undecided", now);
    ask("decided-before-work", now);
}

} // namespace benchleaf::proof
