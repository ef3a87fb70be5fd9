#include "proof/machine.h"

namespace benchleaf::proof {

Standing Machine::at_rest(InstanceId at) const {
    const fitted::Item& item = fit_.items.unnoted(fit_.instances[at.index()].item.index());
    Standing standing;
    if (item.is.places.empty()) standing.place = unknown_place; // a setting whose states lack, of which was told
    if (item.is.rests_anywhere) {
        standing.place = unknown_place;
        standing.on = anywhere;
    }
    if (item.is.sort == linked::Sort::fastener && item.is.threadlock.known())
        standing.bits = model::bit(Debt::locker_set);
    if (item.is.sort == linked::Sort::part) standing.bits |= model::bit(Debt::as_it_came);
    if (item.is.sort == linked::Sort::circuit) standing.on = still_in;
    if (substances_.dusty(fit_.instances[at.index()].item)) standing.on = dry_dust;
    return standing;
}

Machine::State Machine::all_at_rest() {
    State state(first_thread_ + fit_.instances.size());
    for (std::size_t i = 0; i < fit_.instances.size(); ++i) state[i] = ways_.of(at_rest(InstanceId(i)));
    state[alive_slot_.index()] = Ways::going;
    state[air_slot_.index()] = ways_.of(Standing{});
    Standing undecided;
    undecided.on = read_since;
    for (std::size_t i = air_slot_.index() + 1; i < first_reading_; ++i) state[i] = ways_.of(undecided);
    for (std::size_t i = first_reading_; i < state.size(); ++i) state[i] = ways_.of(Standing{});
    return state;
}

// The vents of a circuit are numbered in the order of their instances; beyond the most that can be told apart they share a bit.
std::uint64_t Machine::vent_bit(ItemId circuit, InstanceId vent) const {
    unsigned number = first_vent_bit;
    for (const ItemId other : fit_.items[circuit.index()].is.vented_by)
        for (const InstanceId each : instances(other, {}, nullptr)) {
            if (each == vent) return std::uint64_t{1} << std::min(number, 63U);
            ++number;
        }
    return 0;
}

// Those of one of the circuit's instances: where it is on each side, of its own side. What has none cannot be bled.
std::uint64_t Machine::all_vents(ItemId circuit, InstanceId at) const {
    std::uint64_t bits = 0;
    for (const ItemId vent : fit_.items[circuit.index()].is.vented_by) {
        if (!vent.known() || !fit_.items[vent.index()].present) continue;
        for (const InstanceId each : beside(vent, circuit, fit_.instances[at.index()].value))
            bits |= vent_bit(circuit, each);
    }
    return bits == 0 && !airs_itself(circuit) ? no_vent_bit : bits;
}

// Out of water the air goes by itself wherever it is let: at a vent that is open while it is filled, or opened once it is.
bool Machine::airs_itself(ItemId circuit) const {
    const auto& sort = fit_.items[circuit.index()].is.circuit_of.sort;
    return sort && sort->value == model::CircuitSort::coolant;
}

void Machine::let_air_out(ItemId circuit, InstanceId at) {
    if (!airs_itself(circuit)) return;
    for (const ItemId vent : fit_.items[circuit.index()].is.vented_by) {
        if (!vent.known() || !fit_.items[vent.index()].present) continue;
        for (const InstanceId each : beside(vent, circuit, fit_.instances[at.index()].value)) {
            const Way stands = ways_.given(raw(each), path_);
            const Way open = ways_.so(stands, [](const Standing& s) { return s.away(); });
            if (open == Ways::ended) continue;
            const Way shut = ways_.so(stands, [](const Standing& s) { return !s.away(); });
            const Way before = ways_.given(raw(at), path_);
            const Way aired = ways_.changed(before, [&](const Standing& s) {
                Standing after = s;
                after.bits &= ~vent_bit(circuit, each);
                return after;
            });
            set(at, ways_.join(ways_.where(aired, open), ways_.where(before, shut),
                               [](const Standing& a, const Standing&) { return a; }));
        }
    }
}

void Machine::enter(const std::vector<linked::Entering>& contract, const Binding& binding, bool only_places) {
    for (const linked::Entering& entering : contract) {
        if (!entering.item.known()) continue;
        for (const InstanceId at : instances(entering.item, binding, nullptr)) {
            Standing standing = at_rest(at);
            if (entering.has_place) standing.place = entering.place;
            if (standing.place_known() && fit_.items[entering.item.index()].is.rests_anywhere) standing.on = 0;
            if (standing.place != 0) standing.bits &= ~model::bit(Debt::locker_set);
            if ((entering.owes & model::bit(Debt::fill)) != 0) standing.on &= ~still_in;
            if (!only_places) {
                standing.bits |= entering.owes & ~model::bit(Debt::bleed);
                if ((entering.owes & model::bit(Debt::bleed)) != 0) standing.bits |= all_vents(entering.item, at);
                if ((entering.owes & model::bit(Debt::prove)) != 0)
                    standing.bits |= all_proof_bits(fit_, linked_, entering.item, fit_.instances[at.index()].value);
            }
            set(at, ways_.of(standing));
            entered_[at] = entering.span;
        }
    }
    // Where some of a set wait for their renewal, the others of it are new.
    for (const linked::Entering& entering : contract) {
        if (!entering.item.known() || (entering.owes & model::bit(Debt::renew)) == 0) continue;
        for (const ItemId other : renewed_as_one(fit_, entering.item))
            for (const InstanceId at : instances(other, {}, nullptr))
                set(at, ways_.changed(raw(at), [](const Standing& before) {
                    Standing after = before;
                    if (!before.owes(Debt::renew)) after.bits &= ~model::bit(Debt::as_it_came);
                    return after;
                }));
    }
}

// One thing that stands wrong fails a check once in a step, however many others need it right: the bolt that holds three parts.
void Machine::tell_once(std::size_t first) {
    const auto blames = [](const Finding& finding, const std::pair<InstanceId, Standing>& what) {
        return std::find(finding.blamed.begin(), finding.blamed.end(), what) != finding.blamed.end();
    };
    for (std::size_t i = first; i < findings_.size();) {
        const Finding& later = findings_[i];
        const bool known = !later.blamed.empty() && later.told_debts == 0 && later.told_on == 0 &&
                           std::any_of(findings_.begin() + static_cast<std::ptrdiff_t>(first),
                                       findings_.begin() + static_cast<std::ptrdiff_t>(i), [&](const Finding& told) {
                                           return told.check == later.check && told.what != later.what &&
                                                  told.told_debts == 0 && told.told_on == 0 &&
                                                  std::all_of(later.blamed.begin(), later.blamed.end(),
                                                              [&](const auto& what) { return blames(told, what); });
                                       });
        if (known)
            findings_.erase(findings_.begin() + static_cast<std::ptrdiff_t>(i));
        else
            ++i;
    }
}

void Machine::take_blame(std::size_t first) {
    for (std::size_t i = first; i < findings_.size(); ++i) {
        const Finding& finding = findings_[i];
        // What was told already, as of a procedure by itself that is called here, is told as it was then: no step is called late now.
        const auto same = [&](const Finding& known) { return known.same_thing(finding); };
        const auto here = findings_.begin() + static_cast<std::ptrdiff_t>(i);
        if (!finding.late.empty() && std::none_of(told_.begin(), told_.end(), same) &&
            std::none_of(findings_.begin(), here, same))
            late_.insert(finding.late.begin(), finding.late.end());
        for (const auto& [at, told] : finding.blamed) {
            const Standing& as = told;
            const auto hole = [&](const Standing& before) {
                if (!before.same_state(as)) return before;
                Standing after = before;
                if (finding.told_debts != 0)
                    after.bits &= ~finding.told_debts;
                else if (finding.told_on != 0)
                    after.on &= ~finding.told_on;
                else
                    after.place = unknown_place;
                return after;
            };
            set(at, ways_.changed(ways_.given(raw(at), path_), hole));
        }
    }
}

std::vector<InstanceId> Machine::instances(ItemId item, const Binding& binding,
                                           const std::vector<AxisValue>* narrowed) const {
    std::vector<InstanceId> found;
    if (!item.known()) return found;
    const fitted::Item& is = fit_.items[item.index()];
    if (!is.present) return found;
    for (std::uint32_t i = 0; i < is.instances; ++i) {
        const InstanceId at(is.first_instance + i);
        const AxisValue value = fit_.instances[at.index()].value;
        if (value != no_value) {
            if (binding.value != no_value && is.is.axis == binding.axis && value != binding.value) continue;
            if (narrowed != nullptr && !narrowed->empty() &&
                std::find(narrowed->begin(), narrowed->end(), value) == narrowed->end())
                continue;
        }
        found.push_back(at);
    }
    return found;
}

std::vector<InstanceId> Machine::beside(ItemId other, ItemId item, AxisValue value) const {
    const bool same_axis = value != no_value && fit_.items[other.index()].is.axis == fit_.items[item.index()].is.axis;
    return instances(other, same_axis ? Binding{fit_.items[item.index()].is.axis, value} : Binding{}, nullptr);
}

Moment Machine::moment_at(ItemId item, InstanceId at, source::Span span) {
    Moment now = moment(span);
    now.item = item;
    now.at = at;
    now.value = fit_.instances[at.index()].value;
    return now;
}

Moment Machine::moment(source::Span span) {
    Moment now(fit_, linked_, ways_, findings_);
    now.span = span;
    now.first_thread = first_thread_;
    now.standing_of = [this](InstanceId which) { return standing(which); };
    now.entered = &entered_;
    now.substances = &substances_;
    now.remedies = &remedies_;
    return now;
}

const Check& Machine::machine_check(std::string_view name) const {
    const auto found = machine_checks_.find(name);
    base::require(found != machine_checks_.end(), "the machine reports through its own checks");
    return *found->second;
}

void Machine::report_machine(std::string_view check, source::Span at, std::string what, ItemId item, AxisValue value) {
    Finding finding;
    finding.check = &machine_check(check);
    finding.item = item;
    finding.value = value;
    finding.at = at;
    finding.what = std::move(what);
    findings_.push_back(std::move(finding));
}

void Machine::remembered(const BlockKey& key, const std::function<void()>& body) {
    std::vector<Remembered>& known = memory_[key];
    for (const Remembered& once : known) {
        const bool same = std::all_of(once.before.begin(), once.before.end(), [&](const auto& read) {
            return ways_.given(state_[read.first.index()], path_) == read.second;
        });
        if (!same) continue;
        for (const auto& [at, way] : once.before) raw(at);
        for (const auto& [at, way] : once.after) set(at, way);
        touched_.insert(once.touched.begin(), once.touched.end());
        if (!recorders_.empty()) recorders_.back().touched.insert(once.touched.begin(), once.touched.end());
        for (const auto& [at, asked] : once.repaired) repair(at, asked);
        for (const auto& [question, live] : once.asked) {
            live_[question] = live;
            asked_keys_.push_back(question);
        }
        return;
    }
    recorders_.emplace_back();
    const std::size_t asked_before = asked_keys_.size();
    body();
    Recorder mine = std::move(recorders_.back());
    recorders_.pop_back();
    Remembered once;
    for (const auto& [at, way] : mine.reads) once.before.emplace_back(at, ways_.given(way, path_));
    for (const InstanceId at : mine.writes) once.after.emplace_back(at, state_[at.index()]);
    once.touched = mine.touched;
    once.repaired = mine.repaired;
    for (std::size_t i = asked_before; i < asked_keys_.size(); ++i) {
        const auto live = live_.find(asked_keys_[i]);
        if (live != live_.end()) once.asked.push_back(*live);
    }
    if (!recorders_.empty()) {
        Recorder& outer = recorders_.back();
        for (const auto& [at, way] : mine.reads) outer.reads.try_emplace(at, way);
        outer.writes.insert(mine.writes.begin(), mine.writes.end());
        outer.touched.insert(mine.touched.begin(), mine.touched.end());
        outer.repaired.insert(mine.repaired.begin(), mine.repaired.end());
    }
    memory_[key].push_back(std::move(once));
    memory_log_.push_back(key);
}

// Works a branch on the ways where the answers hold and puts everything back as it was; gives what it wrote.
Machine::Branch Machine::branch(const Answers& answers, const std::function<void()>& body) {
    const std::size_t mark = log_.size();
    path_.insert(path_.end(), answers.begin(), answers.end());
    body();
    Branch result;
    std::map<InstanceId, Way> first; // the value before the branch
    for (std::size_t i = log_.size(); i > mark; --i) first[log_[i - 1].first] = log_[i - 1].second;
    for (const auto& [at, before] : first) result.emplace(at, ways_.given(state_[at.index()], path_));
    for (const auto& [at, before] : first) state_[at.index()] = before;
    log_.resize(mark);
    path_.resize(path_.size() - answers.size());
    return result;
}

std::uint64_t proof_bits_of(const fitted::Fit& fit, const linked::Linked& linked, const linked::Item& adjustment,
                            linked::LimitId limit, const std::function<bool(fitted::InstanceId)>& takes) {
    unsigned number = 0;
    std::uint64_t bits = 0;
    const auto one = [&](linked::LimitId of, bool taken) {
        if (of == limit && taken) bits |= std::uint64_t{1} << (first_proof_bit + std::min(number, most_proofs - 1));
        ++number;
    };
    for (const linked::LimitId each : adjustment.proved_by) {
        if (!each.known()) continue;
        const std::vector<ItemId>& of = linked.limits[each.index()].of;
        if (of.empty()) one(each, true);
        for (const ItemId id : of) {
            if (!id.known() || !fit.items[id.index()].present) continue;
            for (std::uint32_t i = 0; i < fit.items[id.index()].instances; ++i) {
                const InstanceId at(fit.items[id.index()].first_instance + i);
                one(each, takes(at));
            }
        }
    }
    return bits;
}

// The readings beside it: where it is on each side, those of its own side.
std::uint64_t all_proof_bits(const fitted::Fit& fit, const linked::Linked& linked, ItemId adjustment, AxisValue value) {
    const linked::Item& is = fit.items[adjustment.index()].is;
    std::uint64_t bits = 0;
    for (const linked::LimitId limit : is.proved_by)
        if (limit.known())
            bits |= proof_bits_of(fit, linked, is, limit, [&](InstanceId at) {
                const fitted::Instance& read = fit.instances[at.index()];
                const bool same_axis = value != no_value && fit.items[read.item.index()].is.axis == is.axis;
                return !same_axis || read.value == value;
            });
    return bits == 0 ? 0 : bits | model::bit(Debt::prove);
}

} // namespace benchleaf::proof
