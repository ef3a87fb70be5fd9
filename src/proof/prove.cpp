#include "proof/check.h"
#include "proof/decisions.h"
#include "proof/order.h"
#include "proof/proved.h"
#include "proof/readings.h"
#include "proof/remedy.h"
#include "proof/tell.h"

#include "base/require.h"
#include "linked/deeds.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <unordered_map>
#include <unordered_set>
#include <utility>

namespace benchleaf::proof {

namespace {

using fitted::AxisValue;
using fitted::InstanceId;
using fitted::no_value;
using fitted::Row;
using linked::ItemId;
using model::Debt;
using model::Effect;

// Which value of which axis rows are worked for; without a value they touch every one.
struct Binding {
    linked::AxisId axis;
    AxisValue value = no_value;
    auto operator<=>(const Binding&) const = default;
};

// One item that a row does something to.
struct Object {
    ItemId item;
    linked::Place place = 0;
    linked::ConsumableId consumable;
    source::Span span;
    const std::vector<AxisValue>* values = nullptr;
};

class Machine {
public:
    Machine(const fitted::Fitted& fitted, std::size_t fit, messages::Messages& messages)
        : linked_(*fitted.linked), fit_(fitted.fits[fit]), messages_(messages), substances_(linked_, fit_),
          decisions_(linked_, fit_), readings_(linked_, fit_), remedies_(fit_, linked_) {
        for (const Check* check : all_checks()) {
            if (check->demand) by_demand_[static_cast<std::size_t>(*check->demand)].push_back(check);
            if (check->when == When::end) at_end_.push_back(check);
            if (check->when == When::stop) at_stop_.push_back(check);
            if (check->when == When::machine) machine_checks_.emplace(check->rule.name, check);
        }
        alive_slot_ = InstanceId(fit_.instances.size());
        air_slot_ = InstanceId(fit_.instances.size() + 1);
        for (std::size_t i = 0; i < fit_.items.size(); ++i)
            if (fit_.items[i].present && fit_.items[i].is.circuit_of.settles_in) settling_.emplace_back(i);
        first_reading_ = air_slot_.index() + 1 + decisions_.slots();
        first_thread_ = first_reading_ + readings_.slots().size();
        resting_ = all_at_rest();
        for (const fitted::Procedure& procedure : fit_.procedures) plan(procedure);
    }

    void procedure_alone(fitted::ProcedureIndex index) { touched_by(index, Binding{}); }

    void job();
    void tell();
    // Somewhere a step could not be read: nothing is proved, whatever was found.
    bool lost_sight() const { return sight_.has_value() || !unsure_.empty(); }
    std::vector<std::vector<Left>> left_by_card() const { return left_by_card_; }

private:
    // -- State -----------------------------------------------------------------------------------------------------------
    using State = std::vector<Way>;

    Way raw(InstanceId at) {
        if (!recorders_.empty()) recorders_.back().reads.try_emplace(at, state_[at.index()]);
        return state_[at.index()];
    }
    Way alive() { return ways_.given(raw(alive_slot_), path_); }
    // How an instance stands on the ways that are still going.
    Way standing(InstanceId at) { return ways_.where(ways_.given(raw(at), path_), alive()); }
    // What findings since the `first` put the blame on is a hole from here on.
    void take_blame(std::size_t first);
    void tell_once(std::size_t first);
    void set(InstanceId at, Way way) {
        const Way before = raw(at);
        if (before == way) return;
        log_.emplace_back(at, before);
        state_[at.index()] = way;
        if (!recorders_.empty()) recorders_.back().writes.insert(at);
    }
    void change(InstanceId at, const std::function<Standing(const Standing&)>& how) {
        touched_.insert(at);
        if (!recorders_.empty()) recorders_.back().touched.insert(at);
        set(at, ways_.changed(ways_.given(raw(at), path_), how));
    }

    Standing at_rest(InstanceId at) const;
    std::uint64_t vent_bit(ItemId circuit, InstanceId vent) const;
    std::uint64_t all_vents(ItemId circuit, InstanceId at) const;
    std::uint64_t all_proofs(ItemId adjustment, AxisValue value) const;
    State all_at_rest();
    void enter(const std::vector<linked::Entering>& contract, const Binding& binding, bool only_places);

    // -- Rows ------------------------------------------------------------------------------------------------------------
    void plan(const fitted::Procedure& procedure);
    using Named = std::function<bool(linked::StepId)>;
    std::vector<const Row*> plan(const fitted::Rows& rows, const Named& named_later);
    void walk(const fitted::Procedure& procedure, const Binding& caller);
    void walk_rows(const fitted::Rows& rows, const Binding& binding, const fitted::Procedure* top = nullptr);
    void not_reached(const Row& row, std::string what, const fitted::Procedure* top);
    void walk_row(const Row& row, const Binding& binding);
    // What a step does that could not be read is not known, and was told: nothing that is found behind it is told as well.
    void lose_sight() {
        if (!sight_) sight_ = findings_.size();
    }
    void forget_unsure() {
        if (sight_) findings_.resize(*sight_);
        told_.insert(told_.end(), findings_.begin(), findings_.end());
        findings_.clear();
    }
    void work(const Row& row, const Binding& binding);
    void work_on(const Row& row, const Object& object, const Binding& binding);
    void take_effects(const Row& row, const model::Deed& deed, const Object& object, InstanceId at, AxisValue value);
    void renew(const Row& row, InstanceId at);
    void prove_by(const Row& row, InstanceId at);
    void judge_step(const Row& row);
    void leave_step(const Row& row, std::span<const model::Effect> effects, const Binding& binding);
    void let_lockers_set(const Row& row);
    void let_fluids_settle(const Row& row);
    void stir_by(const Row& row, const Object& object, InstanceId at);
    Way waited_in_rounds(InstanceId slot, Way from, Way end, const Row& row);
    void let_time_pass(const Row& row);
    InstanceId thread_slot(InstanceId at) const { return InstanceId(first_thread_ + at.index()); }
    std::uint64_t sets_in(ItemId fastener) const;
    void judge_other_vents(Moment& now, const std::vector<InstanceId>& worked_at);
    void judge_thread(const Row& row, const Object& object, InstanceId at);
    void turn_thread(const Row& row, const model::Deed& deed, const Object& object, InstanceId at);
    bool is_greasy(linked::ConsumableId which) const {
        const auto& sort = linked_.consumables[which.index()].figures.sort;
        return sort && (sort->value == model::ConsumableSort::lubricant || sort->value == model::ConsumableSort::fluid);
    }
    void now_on(InstanceId at, const Row& row, std::uint64_t bits);
    InstanceId decision_slot(const Decision& decision, const Binding& binding) const;
    void decided(const Row& row, const Decision& decision, const Binding& binding, std::string_view what);
    void stale(const Decision& decision, const Binding& binding);
    void read_anew(const std::vector<std::size_t>& decisions, const Binding& binding);
    void judge_readings(const Row& row, const Binding& binding);
    InstanceId reading_slot(std::size_t which) const { return InstanceId(first_reading_ + which); }
    std::vector<std::size_t> readings_of(const fitted::LimitUse& use, const Binding& binding) const;
    Moment reading_moment(std::size_t which, source::Span span);
    bool proves_something(linked::LimitId limit) const;
    void change_slot(InstanceId slot, const std::function<void(Standing&)>& how);
    void take_readings(const Row& row, const Binding& binding);
    void decide_by_readings(const Row& row, const Binding& binding, const std::set<linked::LimitId>& told);
    void make_older(linked::LimitId limit, InstanceId by, const Row& row, bool is_new);
    void worked(const Row& row, InstanceId at, const model::Deed& deed);
    void judge_last_readings();
    void forget_old_readings(std::size_t ended);
    void add_drifts(std::size_t ended, std::set<std::size_t>& to) const;
    void question(const Row& row, const Binding& binding);
    void if_answered(const Row& row, const Binding& binding);
    void repeat(const Row& row, const Binding& binding);
    bool settles(const Row& row, const Binding& binding, const std::map<InstanceId, Way>& start);
    void stop(const Row& row, const Binding& binding);
    void call(const Row& row, const Binding& binding);
    void call_walk(fitted::ProcedureIndex index, const Binding& binding, source::Span at);
    void forget(const Row& question_row, AxisValue value);
    void ask_for(fitted::ProcedureIndex index);
    bool begins_as_asked(std::size_t first, source::Span at);
    bool tell_order(std::size_t first);
    Boundaries boundaries(fitted::ProcedureIndex index);

    std::vector<Object> objects(const Row& row) const;
    std::vector<InstanceId> instances(ItemId item, const Binding& binding,
                                      const std::vector<AxisValue>* narrowed) const;
    std::vector<InstanceId> beside(ItemId other, ItemId item, AxisValue value) const;
    Moment moment_at(ItemId item, InstanceId at, source::Span span);

    // -- Ends ------------------------------------------------------------------------------------------------------------
    using Touched = std::set<InstanceId>;
    const Touched& touched_by(fitted::ProcedureIndex index, const Binding& binding);
    std::vector<Left> unfinished();
    // `begins`: the procedure that is called at `at`; without one, something ends there.
    void ends(const std::vector<linked::Entering>& contract, const Binding& binding, const Touched& touched,
              source::Span at, std::string_view begins = {});
    void repair(InstanceId at, source::Span asked) {
        entered_[at] = asked;
        repaired_.insert(at);
        if (!recorders_.empty()) recorders_.back().repaired[at] = asked;
    }
    // What is proved, or set: it owes, and has no place of its own.
    bool is_proved(ItemId item) const {
        const linked::Sort sort = fit_.items[item.index()].is.sort;
        return sort == linked::Sort::circuit || sort == linked::Sort::adjustment;
    }
    void judge_end(InstanceId at, const linked::Entering* entering, source::Span where, std::string_view begins,
                   bool whole = true);

    // -- Ways ------------------------------------------------------------------------------------------------------------
    using Branch = std::map<InstanceId, Way>; // what it wrote, with its value at the branch's end
    template <class Body>
    Branch branch(const Answers& answers, Body body);
    Standing merge(const Standing& a, const Standing& b, InstanceId at, const Row& row, std::string_view check);
    Way join_slot(InstanceId at, Way a, Way b, const Row& row, std::string_view check);
    const Check& machine_check(std::string_view name) const;
    void report_machine(std::string_view check, source::Span at, std::string what, ItemId item = {},
                        AxisValue value = no_value);

    // A block that was walked before from the same state of all that it read does the same again.
    struct Recorder {
        std::map<InstanceId, Way> reads; // the value before the block's first look or change
        std::set<InstanceId> writes;
        Touched touched;
        std::map<InstanceId, source::Span> repaired; // by its calls, with what they asked for
    };
    using QuestionKey = std::pair<linked::StepId, AxisValue>;
    struct LiveQuestion {
        Asked asked = 0;
        std::set<InstanceId> depend; // slots whose value may depend on it
    };
    struct Remembered {
        std::vector<std::pair<InstanceId, Way>> before;
        std::vector<std::pair<InstanceId, Way>> after;
        Touched touched;
        std::map<InstanceId, source::Span> repaired;
        std::vector<std::pair<QuestionKey, LiveQuestion>> asked; // in it, and named after it
    };
    using BlockKey = std::tuple<const void*, linked::AxisId, AxisValue>;
    template <class Body>
    void remembered(const BlockKey& key, Body body);

    const linked::Linked& linked_;
    const fitted::Fit& fit_;
    messages::Messages& messages_;
    const Substances substances_;
    const Decisions decisions_;
    const Readings readings_;
    Remedies remedies_;
    std::vector<const Check*> by_demand_[64];
    std::vector<const Check*> at_end_;
    std::vector<const Check*> at_stop_;
    std::map<std::string_view, const Check*> machine_checks_;

    Ways ways_;
    State state_;
    State resting_; // before any work
    // Slots of the state after those of the instances: whether the work goes on, what hangs in the air, each decision, each reading, and the thread of
    // each instance.
    InstanceId alive_slot_;
    InstanceId air_slot_;
    std::vector<ItemId> settling_; // circuits whose fluid takes its time to settle
    std::size_t first_reading_ = 0;
    std::size_t first_thread_ = 0;
    Answers path_;
    std::vector<std::pair<InstanceId, Way>> log_;
    std::vector<Recorder> recorders_;
    Touched touched_;
    std::vector<Finding> findings_;    // of what is being walked
    std::optional<std::size_t> sight_; // how many of them there were before the first step that could not be read
    std::set<fitted::ProcedureIndex> unsure_;                               // procedures that hold such a step
    std::vector<Finding> told_;                                             // of what was walked
    std::vector<std::pair<std::size_t, linked::LimitId>> read_before_work_; // which of the findings, and of what limit
    std::vector<const Row*> asked_rows_;                                    // by Asked

    std::map<QuestionKey, LiveQuestion> live_;
    std::vector<QuestionKey> asked_keys_; // of tracked questions, in the order of asking
    // Where nothing names a question any more and its ways are joined: after which row, or after which section.
    std::unordered_map<const Row*, std::vector<const Row*>> forget_after_;
    std::unordered_map<const fitted::Section*, std::vector<const Row*>> forget_after_section_;
    std::unordered_set<const Row*> reached_;
    struct NotReached {
        const Row* row;
        const fitted::Procedure* top; // it begins a section's list of this procedure's
        std::string what;
    };
    std::vector<NotReached> not_reached_;
    std::map<InstanceId, source::Span> entered_; // what a contract said of how the work begins
    Touched repaired_;                           // what a call did not find as it was promised
    bool of_job_ = false;                        // it is the job that ends
    const fitted::Procedure* ended_ = nullptr;   // the procedure that ends, proved by itself
    std::map<std::pair<fitted::ProcedureIndex, Binding>, Touched> touched_by_;
    std::map<fitted::ProcedureIndex, std::vector<Left>> left_alone_; // by each procedure between its own contracts
    std::vector<std::vector<Left>> left_by_card_;                    // of the sequence, as far as it was proved
    std::map<BlockKey, std::vector<Remembered>> memory_;
    std::vector<BlockKey> memory_log_; // in the order of remembering
    int depth_ = 0;
    Touched read_;                                       // by the measure at work
    std::set<std::pair<const Row*, InstanceId>> faulty_; // steps that were told to be wrong, with to what they are done
    std::set<std::pair<const Row*, InstanceId>> drifted_; // repeats, with what drifts in them
    std::set<std::pair<const Row*, ItemId>>
        late_;                  // steps that were told to belong further up, with to what they are done
    linked::AxisId only_along_; // the axis of the procedure at work, of which its rows' `only` speaks

    friend struct Depth;
};

// -- State ---------------------------------------------------------------------------------------------------------------------

bool is_error(const Finding& finding) {
    return finding.check->rule.level == messages::Level::error;
}

// What follows such an error may be wrong because of it.
bool leaves_hole(const Finding& finding) {
    return is_error(finding) && !finding.blamed.empty();
}

Standing Machine::at_rest(InstanceId at) const {
    const fitted::Item& item = fit_.items[fit_.instances[at.index()].item.index()];
    Standing standing;
    if (item.is.rests_anywhere) {
        standing.place = unknown_place;
        standing.on = anywhere;
    }
    if (item.is.sort == linked::Sort::fastener && item.is.threadlock.known())
        standing.bits = model::bit(Debt::locker_set);
    if (item.is.sort == linked::Sort::part) standing.bits |= model::bit(Debt::as_it_came);
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

// The readings beside it: where it is on each side, those of its own side.
std::uint64_t Machine::all_proofs(ItemId adjustment, AxisValue value) const {
    const linked::Item& is = fit_.items[adjustment.index()].is;
    if (is.proved_by.empty()) return 0;
    std::uint64_t bits = 0;
    for (const linked::LimitId limit : is.proved_by)
        if (limit.known())
            bits |= proof_bits_of(fit_, linked_, is, limit, [&](InstanceId at) {
                const fitted::Instance& read = fit_.instances[at.index()];
                const bool same_axis = value != no_value && fit_.items[read.item.index()].is.axis == is.axis;
                return !same_axis || read.value == value;
            });
    return bits == 0 ? 0 : bits | model::bit(Debt::prove);
}

// Those of one of the circuit's instances: where it is on each side, of its own side. What has none cannot be bled.
std::uint64_t Machine::all_vents(ItemId circuit, InstanceId at) const {
    std::uint64_t bits = 0;
    for (const ItemId vent : fit_.items[circuit.index()].is.vented_by) {
        if (!vent.known() || !fit_.items[vent.index()].present) continue;
        for (const InstanceId each : beside(vent, circuit, fit_.instances[at.index()].value))
            bits |= vent_bit(circuit, each);
    }
    return bits == 0 ? no_vent_bit : bits;
}

void Machine::enter(const std::vector<linked::Entering>& contract, const Binding& binding, bool only_places) {
    for (const linked::Entering& entering : contract) {
        if (!entering.item.known()) continue;
        for (const InstanceId at : instances(entering.item, binding, nullptr)) {
            Standing standing = at_rest(at);
            if (entering.has_place) standing.place = entering.place;
            if (standing.place_known() && fit_.items[entering.item.index()].is.rests_anywhere) standing.on = 0;
            if (standing.place != 0) standing.bits &= ~model::bit(Debt::locker_set);
            if (!only_places) {
                standing.bits |= entering.owes & ~model::bit(Debt::bleed);
                if ((entering.owes & model::bit(Debt::bleed)) != 0) standing.bits |= all_vents(entering.item, at);
                if ((entering.owes & model::bit(Debt::prove)) != 0)
                    standing.bits |= all_proofs(entering.item, fit_.instances[at.index()].value);
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
    Moment now(fit_, linked_, ways_, findings_);
    now.item = item;
    now.at = at;
    now.value = fit_.instances[at.index()].value;
    now.span = span;
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

// -- Blocks --------------------------------------------------------------------------------------------------------------------

template <class Body>
void Machine::remembered(const BlockKey& key, Body body) {
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

// -- Rows ----------------------------------------------------------------------------------------------------------------------

std::vector<Object> Machine::objects(const Row& row) const {
    std::vector<Object> all;
    const linked::ConsumableId consumable = row.step != nullptr ? row.step->consumable : linked::ConsumableId();
    for (const fitted::Target& target : row.targets)
        all.push_back({target.item, target.place, consumable, target.span, &target.values});
    if (row.verb == model::VerbName::measure) {
        for (const fitted::LimitUse& use : row.limits) {
            if (!use.figure.limit.known()) continue;
            for (const ItemId proved : linked_.limits[use.figure.limit.index()].proves)
                all.push_back({proved, 0, {}, use.span, nullptr});
        }
    }
    return all;
}

// Every question that a row names, however deep inside it.
void named_in(const Row& row, std::set<linked::StepId>& names) {
    for (const linked::Answer& answer : row.answers) names.insert(answer.question);
    for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise})
        for (const Row& each : *inner) named_in(each, names);
}

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
    for (const fitted::Section& section : procedure.sections) {
        const bool narrowed = caller.value != no_value && caller.axis == procedure.axis;
        if (section.bound && !narrowed) {
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
    only_along_ = outer;
}

void Machine::not_reached(const Row& row, std::string what, const fitted::Procedure* top) {
    not_reached_.push_back({&row, top, std::move(what)});
}

void Machine::walk_rows(const fitted::Rows& rows, const Binding& binding, const fitted::Procedure* top) {
    for (const Row& row : rows) {
        if (alive() == Ways::ended) {
            if (row.kind != fitted::RowKind::hole)
                not_reached(row, "no way leads here: the work has stopped before this step", top);
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

// What some walk came to is reached; of what follows a stop in a procedure's sections, the first step is told.
void Machine::tell() {
    std::set<const fitted::Procedure*> told;
    for (NotReached& each : not_reached_) {
        if (reached_.contains(each.row)) continue;
        if (each.top != nullptr && !told.insert(each.top).second) continue;
        report_machine("unreachable", head_span(*each.row), std::move(each.what));
    }
    not_reached_.clear();
    forget_unsure();
    proof::tell(fit_, linked_, told_, asked_rows_, messages_);
}

struct Depth {
    explicit Depth(Machine& machine) : machine_(machine) { ++machine_.depth_; }
    ~Depth() { --machine_.depth_; }
    Depth(const Depth&) = delete;
    Depth& operator=(const Depth&) = delete;
    Machine& machine_;
};

// A name in it was not found, and that was told.
bool lacks_target(const Row& row) {
    if (row.step == nullptr || row.verb == model::VerbName::do_procedure) return false;
    if (std::any_of(row.step->to.begin(), row.step->to.end(), [](ItemId id) { return !id.known(); })) return true;
    return !row.step->consumable.known() &&
           std::any_of(row.step->targets.begin(), row.step->targets.end(),
                       [](const linked::Target& target) { return !target.item.known() && !target.limit.known(); });
}

bool lacks_entry(const model::Given<model::Contract>& written, const std::vector<linked::Entering>& found) {
    return written && found.size() < written->value.size();
}

void Machine::walk_row(const Row& row, const Binding& binding) {
    const Depth deeper(*this);
    base::require(depth_ < 10000, "a walk is bounded in depth");
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

// -- What a step does that is done to no item ---------------------------------------------------------------------------------------

void Machine::judge_step(const Row& row) {
    if (row.step == nullptr) return;
    const std::size_t found_before = findings_.size();
    Moment now(fit_, linked_, ways_, findings_);
    now.at = air_slot_;
    now.row = &row;
    now.span = head_span(row);
    now.standing_of = [this](InstanceId which) { return standing(which); };
    now.entered = &entered_;
    now.substances = &substances_;
    for (const model::Demand demand : model::step_demands())
        for (const Check* check : by_demand_[static_cast<std::size_t>(demand)]) check->judge(now, *check);
    take_blame(found_before);
}

void Machine::now_on(InstanceId at, const Row& row, std::uint64_t bits) {
    if (bits == 0) return;
    set(at, ways_.changed(ways_.given(raw(at), path_), [&](const Standing& before) {
        Standing after = before;
        after.on |= bits;
        after.coated = &row;
        return after;
    }));
}

void Machine::leave_step(const Row& row, std::span<const model::Effect> effects, const Binding& binding) {
    if (row.step == nullptr) return;
    for (const Effect effect : effects) {
        if (effect == Effect::leave_vapour) {
            const auto fumes = [&](linked::ConsumableId which) {
                if (substances_.flammable(which)) now_on(air_slot_, row, substances_.bit(which));
            };
            fumes(row.step->consumable);
            for (const linked::ConsumableId with : row.step->with_consumables) fumes(with);
        } else if (effect == Effect::air_out) {
            const auto& verb = row.step->source->verb;
            if (!verb || !verb->time) continue;
            const std::uint64_t gone = substances_.cleared_by(verb->time->value.quantity);
            if (gone == 0) continue;
            set(air_slot_, ways_.changed(ways_.given(raw(air_slot_), path_), [&](const Standing& before) {
                Standing after = before;
                after.on &= ~gone;
                return after;
            }));
        } else if (effect == Effect::locker_sets) {
            let_lockers_set(row);
        } else if (effect == Effect::settle) {
            let_fluids_settle(row);
        } else if (effect == Effect::new_reading) {
            for (const fitted::LimitUse& use : row.limits) read_anew(decisions_.on(use.figure.limit), binding);
            take_readings(row, binding);
            read_anew(decisions_.on(row.step), binding);
        } else if (effect == Effect::new_state) {
            for (const fitted::Target& target : row.targets) read_anew(decisions_.of(target.item), binding);
        }
    }
}

// On what is tight it sets as it should; on what still has to be tightened, the tightening would break it.
void Machine::let_lockers_set(const Row& row) {
    const auto& verb = row.step->source->verb;
    const auto sets = [&](linked::ConsumableId locker) {
        const auto& time = linked_.consumables[locker.index()].figures.sets_in;
        if (!time) return row.step->wait_for == locker;
        return verb && verb->time && units::compare(verb->time->value.quantity, time->value.quantity) >= 0;
    };
    const std::size_t found_before = findings_.size();
    std::vector<InstanceId> all;
    for (std::size_t i = 0; i < fit_.items.size(); ++i) {
        const fitted::Item& item = fit_.items[i];
        if (!item.present || !item.is.threadlock.known() || !sets(item.is.threadlock)) continue;
        for (const InstanceId at : instances(ItemId(i), {}, nullptr)) {
            all.push_back(at);
            Moment now = moment_at(ItemId(i), at, head_span(row));
            const Check& self = machine_check("locker-sets-early");
            const auto bad =
                now.some(at, [](const Standing& s) { return (s.place == 1 || s.place == 2) && !s.owes(Debt::locker); });
            if (!bad) continue;
            Finding& finding = now.report(self, "the thread-locker on {item} sets{sides} before it is tightened", bad);
            now.blame(finding, at, bad->standing);
            finding.help = "torque it before this `wait`: turned once it has set, thread-locker holds no more";
        }
    }
    take_blame(found_before);
    for (const InstanceId at : all)
        set(at, ways_.changed(ways_.given(raw(at), path_), [](const Standing& before) {
            Standing after = before;
            if (after.place == 0) after.bits |= model::bit(Debt::locker_set);
            return after;
        }));
}

void Machine::let_fluids_settle(const Row& row) {
    const auto& verb = row.step->source->verb;
    if (!verb || !verb->time) return;
    for (const ItemId circuit : settling_) {
        const auto& takes = fit_.items[circuit.index()].is.circuit_of.settles_in;
        if (units::compare(verb->time->value.quantity, takes->value.quantity) < 0) continue;
        for (const InstanceId at : instances(circuit, {}, nullptr))
            set(at, ways_.changed(ways_.given(raw(at), path_), [](const Standing& before) {
                Standing after = before;
                after.on &= ~unsettled;
                return after;
            }));
    }
}

// Whoever starts the engine pumps the oil up, and whoever stops it lets it run back: into a state that the circuit asks for and that is not
// how the vehicle stands anyway, or out of it.
void Machine::stir_by(const Row& row, const Object& object, InstanceId at) {
    const linked::Item& setting = fit_.items[object.item.index()].is;
    for (const ItemId circuit : settling_) {
        const linked::Item& is = fit_.items[circuit.index()].is;
        std::set<linked::Place> stirring;
        const auto asks = [&](const std::vector<linked::Need>& needs) {
            for (const linked::Need& need : needs)
                if (need.item == object.item && (need.place != 0 || setting.rests_anywhere))
                    stirring.insert(need.place);
        };
        asks(is.needs);
        for (const linked::While& each : is.whiles)
            if (each.verb == model::VerbName::circulate || each.verb == model::VerbName::level) asks(each.needs);
        if (stirring.empty()) continue;
        const bool into = stirring.contains(object.place);
        const Way from = ways_.so(ways_.given(raw(at), path_),
                                  [&](const Standing& s) { return into || stirring.contains(s.place); });
        if (from == Ways::ended) continue;
        const Way elsewhere = ways_.so(ways_.given(raw(at), path_),
                                       [&](const Standing& s) { return !into && !stirring.contains(s.place); });
        for (const InstanceId who : beside(circuit, object.item, fit_.instances[at.index()].value)) {
            const Way before = ways_.given(raw(who), path_);
            const Way stirred = ways_.changed(before, [&](const Standing& s) {
                Standing after = s;
                after.on |= unsettled;
                after.coated = &row;
                return after;
            });
            set(who, ways_.join(ways_.where(stirred, from), ways_.where(before, elsewhere),
                                [](const Standing& a, const Standing&) { return a; }));
        }
    }
}

// What is pumped in at one vent runs out at the other, or draws air in there. Those that are bled by one step are closed one by one.
void Machine::judge_other_vents(Moment& now, const std::vector<InstanceId>& worked_at) {
    const bool fills = std::any_of(now.deed->effects.begin(), now.deed->effects.end(),
                                   [](Effect effect) { return effect == Effect::pay_fill; });
    const bool bleeds = std::any_of(now.deed->effects.begin(), now.deed->effects.end(),
                                    [](Effect effect) { return effect == Effect::pay_bleed; });
    if (!fills && !bleeds) return;
    const ItemId circuit = fills ? now.item : now.it().is.vents;
    if (!circuit.known() || !fit_.items[circuit.index()].present) return;
    const linked::Item& is = fit_.items[circuit.index()].is;
    // Water and oil are filled in at an open vent, so that the air goes out.
    if (!is.circuit_of.sort || is.circuit_of.sort->value != model::CircuitSort::hydraulic) return;
    for (const ItemId vent : is.vented_by) {
        if (!vent.known() || !fit_.items[vent.index()].present) continue;
        if (vent != now.item && fit_.items[vent.index()].is.opens == circuit) continue; // told as one that opens it
        const auto asked = [&](const linked::Item& item) {
            return std::any_of(item.whiles.begin(), item.whiles.end(), [&](const linked::While& each) {
                return each.verb == now.row->verb &&
                       std::any_of(each.needs.begin(), each.needs.end(),
                                   [&](const linked::Need& need) { return need.item == vent && need.place != 0; });
            });
        };
        if (asked(now.it().is) || asked(is)) continue;
        for (const InstanceId at : now.on_circuit(circuit, vent)) {
            if (std::find(worked_at.begin(), worked_at.end(), at) != worked_at.end()) continue;
            const auto bad = now.some(at, [](const Standing& s) { return s.away() && s.place_known(); });
            if (!bad) continue;
            const AxisValue value = fit_.instances[at.index()].value;
            std::string other = fit_.items[vent.index()].is.name;
            if (value != no_value)
                other = fit_.axes[fit_.items[vent.index()].is.axis.index()].values[value] + " " + other;
            Finding& finding = now.report(machine_check("other-vent-open"),
                                          "{item} is " + std::string(now.done()) + "{sides} while the " + other +
                                              " is " + now.place_name(vent, bad->standing.place),
                                          bad);
            finding.more.push_back(now.cause(at, bad->standing));
            finding.help = "tighten the " + other + " before this step";
            break;
        }
    }
}

// -- Threads: each keeps how long its wet thread-locker has waited, in seconds, and whether it was slackened and not off since ------------------

constexpr std::uint64_t slackened_since = 1;

std::uint64_t seconds(const units::Quantity& time) {
    const double value = units::value_in(time, units::Unit::second);
    return value > 0 && value < 1e9 ? static_cast<std::uint64_t>(value) : 0;
}

// 0: it has none, or nobody says how long it takes.
std::uint64_t Machine::sets_in(ItemId fastener) const {
    const linked::Item& item = fit_.items[fastener.index()].is;
    if (item.sort != linked::Sort::fastener || !item.threadlock.known()) return 0;
    const auto& time = linked_.consumables[item.threadlock.index()].figures.sets_in;
    return time ? seconds(time->value.quantity) : 0;
}

// It sets where it is shut off from the air, in the hole: common practice.
bool is_wet(const Standing& s) {
    return s.place_known() && s.place < 3 && !s.owes(Debt::locker) && (s.bits & model::bit(Debt::locker_set)) == 0;
}

// At least what is written: the time of each wait, and what a step is said to take. It is counted no further than the locker takes to set.
void Machine::let_time_pass(const Row& row) {
    if (row.step == nullptr) return;
    const auto& verb = row.step->source->verb;
    std::uint64_t passed = verb && verb->time ? seconds(verb->time->value.quantity) : 0;
    if (const auto& minutes = row.step->source->minutes) passed = std::max(passed, seconds(minutes->value.quantity));
    if (passed == 0) return;
    for (std::size_t i = 0; i < fit_.items.size(); ++i) {
        if (!fit_.items[i].present) continue;
        const std::uint64_t most = sets_in(ItemId(i));
        if (most == 0) continue;
        for (const InstanceId at : instances(ItemId(i), {}, nullptr)) {
            // It was put on in this very step.
            const auto& to = row.step->to;
            if (row.verb == model::VerbName::apply && std::find(to.begin(), to.end(), ItemId(i)) != to.end()) continue;
            const Way wet = ways_.so(standing(at), is_wet);
            if (wet == Ways::ended) continue;
            change_slot(thread_slot(at), [&](Standing& s) {
                if (s.coated != nullptr) s.on = std::min(most, s.on + passed);
            });
        }
    }
}

void Machine::judge_thread(const Row& row, const Object& object, InstanceId at) {
    const linked::Item& item = fit_.items[object.item.index()].is;
    Moment now = moment_at(object.item, at, object.span);
    now.row = &row;
    const Way loose = now.when(at, [](const Standing& s) { return s.place == 1 || s.place == 2; });
    const std::uint64_t most = sets_in(object.item);
    const std::string done(model::verb(row.verb).done);
    const Way wet = now.when(at, is_wet);
    if (most != 0) {
        const auto set = now.some(
            thread_slot(at), [&](const Standing& s) { return s.on >= most; }, wet);
        if (set) {
            Finding& finding = now.report(machine_check("waits-add-up"),
                                          "the thread-locker on {item} has set{sides} before it is " + done, set);
            const auto& time = linked_.consumables[item.threadlock.index()].figures.sets_in;
            finding.more.push_back({time->span, "takes this long; the steps since it was put on take longer"});
            if (set->standing.coated != nullptr)
                finding.more.push_back({head_span(*set->standing.coated), "put on here"});
            finding.help = "put it on later, or tighten before the time is up: turned once it has set, thread-locker "
                           "holds no more";
        }
    }
    if (loose == Ways::ended) return;
    const auto again = now.some(
        thread_slot(at), [](const Standing& s) { return (s.bits & slackened_since) != 0; }, loose);
    if (!again) return;
    const auto& reuse = item.fastener.reuse;
    const bool never = reuse && reuse->value == model::Reuse::never;
    std::string names;
    for (const ItemId with : item.renew_with)
        if (with.known() && fit_.items[with.index()].present)
            names += (names.empty() ? "the " : " and the ") + fit_.items[with.index()].is.name;
    if (!never && names.empty()) return;
    Finding& finding =
        now.report(machine_check("reused-once-slackened"),
                   never ? "{item} is tightened a second time{sides}, and is never used again"
                         : "{item} is tightened a second time{sides} on " + names + " that it was tightened on before",
                   again);
    if (again->standing.placed != nullptr)
        finding.more.push_back(
            {target_span(*again->standing.placed, object.item), "slackened here, and not off since"});
    finding.help = "add `- remove: " + item.id + "` and `- fit: " + item.id +
                   "` before this step: what is fitted is new" + (never ? "" : " under it, too");
}

void Machine::turn_thread(const Row& row, const model::Deed& deed, const Object& object, InstanceId at) {
    const linked::Item& item = fit_.items[object.item.index()].is;
    if (item.sort != linked::Sort::fastener) return;
    const auto has = [&](Effect effect) {
        return std::find(deed.effects.begin(), deed.effects.end(), effect) != deed.effects.end();
    };
    if (has(Effect::pay_locker) && object.consumable == item.threadlock)
        change_slot(thread_slot(at), [&](Standing& s) {
            s.on = 0;
            s.coated = &row;
        });
    const bool once =
        (item.fastener.reuse && item.fastener.reuse->value == model::Reuse::never) || !item.renew_with.empty();
    if (!once) return;
    if (deed.to == model::Leaves::off_place)
        change_slot(thread_slot(at), [](Standing& s) { s.bits = 0; });
    else if (deed.to == model::Leaves::loose && deed.from == model::Starts::tight_or_snug &&
             ways_.so(standing(at), [](const Standing& s) { return s.place == 0; }) != Ways::ended)
        change_slot(thread_slot(at), [&](Standing& s) {
            s.bits = slackened_since;
            s.placed = &row;
        });
}

// -- Decisions: each keeps, for each value of an axis that it may be made for, whether something was read since -------------------------

InstanceId Machine::decision_slot(const Decision& decision, const Binding& binding) const {
    return InstanceId(air_slot_.index() + 1 + decisions_.slot(decision, binding.axis, binding.value));
}

void Machine::read_anew(const std::vector<std::size_t>& decisions, const Binding& binding) {
    for (const std::size_t which : decisions) {
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

void Machine::stale(const Decision& decision, const Binding& binding) {
    const InstanceId at = decision_slot(decision, binding);
    set(at, ways_.changed(ways_.given(raw(at), path_), [&](const Standing& before) {
        Standing after = before;
        after.on = 0;
        after.coated = decision.row;
        return after;
    }));
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
    if (!anything_new && alive() != Ways::ended) {
        report_machine("decided-twice", decision.at, std::string(what));
        Finding& finding = findings_.back();
        finding.help = decision.help;
        if (before != nullptr && before != &row)
            finding.more.push_back({decisions_.find(*before)->at, "decided by the same here"});
    }
    stale(decision, binding);
}

void Machine::work(const Row& row, const Binding& binding) {
    read_.clear();
    for (const fitted::LimitUse& use : row.limits)
        for (std::size_t i = 0; i < use.of.size(); ++i)
            for (const InstanceId at : instances(use.of[i], binding, i < use.values.size() ? &use.values[i] : nullptr))
                read_.insert(at);
    for (const Object& object : objects(row))
        if (object.item.known() && fit_.items[object.item.index()].present) work_on(row, object, binding);
}

void Machine::work_on(const Row& row, const Object& object, const Binding& binding) {
    const fitted::Item& item = fit_.items[object.item.index()];
    const model::Deed* deed = linked::deed_for(model::verb(row.verb), item.is.sort, object.place);
    if (deed == nullptr) return;
    const std::vector<InstanceId> all = instances(object.item, binding, object.values);
    // All of them are judged before any of them changes: a row does its whole item at once. What was told to stand too late is judged, too, and not told again.
    const std::size_t found_before = findings_.size();
    const bool too_late = !late_.empty() && (late_.contains({&row, object.item}) || late_.contains({&row, ItemId()}));
    for (const InstanceId at : all) {
        Moment now = moment_at(object.item, at, object.span);
        now.row = &row;
        now.deed = deed;
        now.place = object.place;
        now.consumable = object.consumable;
        touched_.insert(at);
        if (!recorders_.empty()) recorders_.back().touched.insert(at);
        const std::size_t first = findings_.size();
        for (const model::Demand demand : deed->demands) {
            const std::size_t before = findings_.size();
            for (const Check* check : by_demand_[static_cast<std::size_t>(demand)]) check->judge(now, *check);
            if (demand == model::Demand::locker_applied || demand == model::Demand::locker_wet)
                judge_thread(row, object, at);
            if (demand == model::Demand::openers_tight) judge_other_vents(now, all);
            // What is not where the verb starts from fails other demands for the same reason.
            if (demand == model::Demand::place && findings_.size() > before) break;
        }
        if (std::any_of(findings_.begin() + static_cast<std::ptrdiff_t>(first), findings_.end(), leaves_hole))
            faulty_.insert({&row, at});
    }
    tell_once(found_before);
    if (too_late) // nothing else is to blame for it
        for (std::size_t i = found_before; i < findings_.size(); ++i)
            std::erase_if(findings_[i].blamed,
                          [&](const auto& blamed) { return fit_.instances[blamed.first.index()].item != object.item; });
    take_blame(found_before);
    if (too_late) findings_.resize(found_before);
    for (const InstanceId at : all) {
        take_effects(row, *deed, object, at, fit_.instances[at.index()].value);
        worked(row, at, *deed);
        turn_thread(row, *deed, object, at);
        if (deed->to == model::Leaves::same) continue;
        const auto last = static_cast<linked::Place>(item.is.places.size() - 1);
        linked::Place to = 0;
        switch (deed->to) {
        case model::Leaves::same:
        case model::Leaves::rest:
            break;
        case model::Leaves::snug:
            to = 1;
            break;
        case model::Leaves::loose:
            to = 2;
            break;
        case model::Leaves::off_place:
            to = last;
            break;
        case model::Leaves::written:
            to = object.place;
            break;
        }
        change(at, [&](const Standing& before) {
            Standing after = before;
            // Where it would have been in by then, what was done to it since is not known.
            after.place =
                too_late && deed->from == model::Starts::off_place && !before.place_known() ? before.place : to;
            after.placed = &row;
            if (item.is.sort == linked::Sort::setting) after.on = 0;
            return after;
        });
    }
}

void Machine::take_effects(const Row& row, const model::Deed& deed, const Object& object, InstanceId at,
                           AxisValue value) {
    const linked::Item& item = fit_.items[object.item.index()].is;
    const auto owe = [&](InstanceId who, std::uint64_t bits) {
        if (bits == 0) return;
        change(who, [&](const Standing& before) {
            Standing after = before;
            after.bits |= bits;
            after.indebted = &row;
            return after;
        });
    };
    const auto pay = [&](InstanceId who, std::uint64_t bits) {
        change(who, [&](const Standing& before) {
            Standing after = before;
            after.bits &= ~bits;
            return after;
        });
    };
    // At a vent, what was let in is bled out at that vent; the circuit has not lost its fill.
    const auto owe_proofs = [&](ItemId circuit, AxisValue side, ItemId opener, bool at_vent) {
        if (!circuit.known() || !fit_.items[circuit.index()].present) return;
        const linked::Item& is = fit_.items[circuit.index()].is;
        if (!is.circuit_of.sort) return;
        std::uint64_t bits = 0;
        for (const model::Proof& proof : model::proofs(is.circuit_of.sort->value)) {
            if (proof.debt != Debt::bleed && !(at_vent && proof.debt == Debt::fill)) bits |= model::bit(proof.debt);
        }
        // Only a hydraulic circuit is bled: at the vent itself, or at those beside what opened it.
        std::uint64_t vents = 0;
        if (is.circuit_of.sort->value == model::CircuitSort::hydraulic && at_vent) vents = vent_bit(circuit, at);
        if (is.circuit_of.sort->value == model::CircuitSort::hydraulic && !at_vent)
            for (const ItemId vent : is.vented_by) {
                if (!vent.known() || !fit_.items[vent.index()].present) continue;
                for (const InstanceId each : beside(vent, opener.known() ? opener : circuit, side))
                    vents |= vent_bit(circuit, each);
            }
        // Where no vent lies beside what opened it, the air goes out at those that there are; where there are none, it stays in.
        const bool bled = is.circuit_of.sort->value == model::CircuitSort::hydraulic && !at_vent;
        for (const InstanceId who : beside(circuit, opener.known() ? opener : circuit, side)) {
            const std::uint64_t here = vents & all_vents(circuit, who);
            owe(who, bits | (bled && here == 0 ? all_vents(circuit, who) : here));
        }
    };
    const auto circuit_pays = [&](Debt debt) { pay(at, model::bit(debt)); };
    const auto take_off = [&](std::uint64_t bits) {
        change(at, [&](const Standing& before) {
            Standing after = before;
            after.on &= ~bits;
            return after;
        });
    };

    for (const Effect effect : deed.effects) {
        switch (effect) {
        case Effect::owe_opened:
            owe_proofs(item.opens, value, object.item, false);
            if (item.vents != item.opens) owe_proofs(item.vents, value, object.item, true);
            break;
        case Effect::owe_all_proofs:
            owe_proofs(object.item, value, {}, false);
            break;
        case Effect::owe_vented: {
            if (!item.vents.known() || !fit_.items[item.vents.index()].present) break;
            const auto& sort = fit_.items[item.vents.index()].is.circuit_of.sort;
            std::uint64_t bits = 0;
            bool after = false;
            if (sort)
                for (const model::Proof& proof : model::proofs(sort->value)) {
                    if (after) bits |= model::bit(proof.debt);
                    after = after || proof.debt == Debt::bleed;
                }
            for (const InstanceId who : beside(item.vents, object.item, value)) owe(who, bits);
            break;
        }
        case Effect::owe_moved:
            if (item.circuit.known() && fit_.items[item.circuit.index()].present) {
                std::uint64_t bits = 0;
                const auto& sort = fit_.items[item.circuit.index()].is.circuit_of.sort;
                if (sort)
                    for (const model::Proof& proof : model::proofs(sort->value))
                        if (proof.debt == Debt::prime || proof.debt == Debt::level) bits |= model::bit(proof.debt);
                for (const InstanceId who : beside(item.circuit, object.item, value)) owe(who, bits);
            }
            break;
        case Effect::disturb: {
            // Everything that has to be set again, and what comes after that.
            std::vector<std::tuple<ItemId, ItemId, AxisValue>> open;
            std::set<InstanceId> seen;
            for (const ItemId adjustment : item.disturbs) open.emplace_back(adjustment, object.item, value);
            while (!open.empty()) {
                const auto [adjustment, by, side] = open.back();
                open.pop_back();
                if (!adjustment.known() || !fit_.items[adjustment.index()].present) continue;
                const linked::Item& is = fit_.items[adjustment.index()].is;
                for (const InstanceId who : beside(adjustment, by, side)) {
                    if (who == at || !seen.insert(who).second) continue;
                    owe(who, model::bit(Debt::adjust) | all_proofs(adjustment, fit_.instances[who.index()].value));
                    for (const ItemId next : is.disturbs)
                        open.emplace_back(next, adjustment, fit_.instances[who.index()].value);
                }
            }
            break;
        }
        case Effect::owe_locker:
            if (item.threadlock.known()) owe(at, model::bit(Debt::locker) | model::bit(Debt::degrease));
            break;
        case Effect::forget_locker:
            pay(at, model::bit(Debt::locker_set));
            break;
        case Effect::pay_locker:
            if (item.threadlock.known() && object.consumable == item.threadlock) pay(at, model::bit(Debt::locker));
            break;
        case Effect::pay_degrease: {
            // What is wiped with oil is clean, and no thread for thread-locker.
            const auto& with = row.step->with_consumables;
            const bool greasy =
                std::any_of(with.begin(), with.end(), [&](linked::ConsumableId which) { return is_greasy(which); });
            if (!greasy) pay(at, model::bit(Debt::degrease));
            break;
        }
        case Effect::pay_fill:
            circuit_pays(Debt::fill);
            break;
        case Effect::pay_prime:
            circuit_pays(Debt::prime);
            break;
        case Effect::pay_circulate:
            circuit_pays(Debt::circulate);
            break;
        case Effect::pay_level:
            circuit_pays(Debt::level);
            break;
        case Effect::pay_leak_check:
            circuit_pays(Debt::leak_check);
            break;
        case Effect::pay_bleed:
            if (item.vents.known())
                for (const InstanceId who : beside(item.vents, object.item, value)) pay(who, vent_bit(item.vents, at));
            break;
        case Effect::pay_adjust:
            // However it was set before: it is read anew.
            pay(at, model::bit(Debt::adjust));
            owe(at, all_proofs(object.item, value));
            break;
        case Effect::pay_prove:
            prove_by(row, at);
            break;
        case Effect::torqued:
            break;
        case Effect::wet_dust: {
            const auto wets = [&](linked::ConsumableId which) { return substances_.wets(which); };
            const auto& with = row.step->with_consumables;
            if (wets(object.consumable) || std::any_of(with.begin(), with.end(), wets)) take_off(dry_dust);
            break;
        }
        case Effect::wash_off:
            take_off(~dry_dust);
            // The locker on a thread that lies open goes with the rest.
            if (item.threadlock.known())
                change(at, [&](const Standing& before) {
                    Standing after = before;
                    if (before.place + 1U != item.places.size() || before.owes(Debt::locker)) return after;
                    after.bits |= model::bit(Debt::locker);
                    after.indebted = &row;
                    return after;
                });
            break;
        case Effect::as_new:
            take_off(~std::uint64_t{0});
            renew(row, at);
            // A new bolt has its oil on it, and no locker.
            if (item.threadlock.known()) owe(at, model::bit(Debt::locker) | model::bit(Debt::degrease));
            break;
        case Effect::new_if_never_reused: {
            const auto& reuse = item.part.reuse;
            if (reuse && reuse->value == model::Reuse::never) renew(row, at);
            break;
        }
        case Effect::put_on: {
            std::uint64_t bits = 0;
            const auto stays = [&](linked::ConsumableId which) {
                if (substances_.enemies(which) != 0) bits |= substances_.bit(which);
            };
            stays(object.consumable);
            for (const linked::ConsumableId with : row.step->with_consumables) stays(with);
            now_on(at, row, bits);
            break;
        }
        case Effect::fluid_fumes:
            for (const ItemId circuit : {object.item, item.opens, item.vents}) {
                if (!circuit.known()) continue;
                const linked::ConsumableId fluid = fit_.items[circuit.index()].is.fluid;
                if (substances_.flammable(fluid)) now_on(air_slot_, row, substances_.bit(fluid));
            }
            break;
        case Effect::stir:
            if (item.circuit_of.settles_in) now_on(at, row, unsettled);
            break;
        case Effect::stir_by_setting:
            stir_by(row, object, at);
            break;
        case Effect::leave_vapour:
        case Effect::air_out:
        case Effect::settle:
        case Effect::locker_sets:
        case Effect::new_reading:
        case Effect::new_state:
            break; // of the step, not of an item
        }
    }
}

// It is another one: all that is renewed as one with it, and is still the one that came, owes that.
void Machine::renew(const Row& row, InstanceId at) {
    change(at, [](const Standing& before) {
        Standing after = before;
        after.bits &= ~(model::bit(Debt::renew) | model::bit(Debt::as_it_came));
        return after;
    });
    for (const ItemId other : renewed_as_one(fit_, fit_.instances[at.index()].item))
        for (const InstanceId who : instances(other, {}, nullptr))
            change(who, [&](const Standing& before) {
                Standing after = before;
                if ((before.bits & model::bit(Debt::as_it_came)) == 0) return after;
                after.bits |= model::bit(Debt::renew);
                after.indebted = &row;
                return after;
            });
}

// A reading proves an adjustment on those ways on which it is adjusted and all that disturbs it is tight again. On others, it is read while it is
// being set, which proves nothing and does no harm.
void Machine::prove_by(const Row& row, InstanceId at) {
    const ItemId which = fit_.instances[at.index()].item;
    const linked::Item& item = fit_.items[which.index()].is;
    std::uint64_t read_now = 0;
    for (const fitted::LimitUse& use : row.limits)
        read_now |=
            proof_bits_of(fit_, linked_, item, use.figure.limit, [&](InstanceId of) { return read_.contains(of); });
    const auto too_early = [&](const Standing& before) {
        Standing after = before;
        if (before.owes(Debt::prove)) after.coated = &row;
        return after;
    };
    const auto proves = [&](const Standing& before) {
        if (before.owes(Debt::adjust)) return too_early(before);
        Standing after = before;
        after.bits &= ~read_now;
        if ((after.bits & proof_bits) == 0) after.bits &= ~model::bit(Debt::prove);
        return after;
    };
    touched_.insert(at);
    if (!recorders_.empty()) recorders_.back().touched.insert(at);
    const Way before = ways_.given(raw(at), path_);
    const Way read = ways_.changed(before, too_early);
    Way after = ways_.changed(before, proves);
    for (const ItemId adjuster : item.disturbed_by) {
        if (!adjuster.known() || !fit_.items[adjuster.index()].present) continue;
        const linked::Sort sort = fit_.items[adjuster.index()].is.sort;
        if (sort != linked::Sort::fastener && sort != linked::Sort::clip && sort != linked::Sort::part) continue;
        for (const InstanceId each : beside(adjuster, which, fit_.instances[at.index()].value)) {
            const Way stands = ways_.given(raw(each), path_);
            const auto loose = [](const Standing& s) { return s.place_known() && s.place != 0; };
            const Way where_loose = ways_.so(stands, loose);
            if (where_loose == Ways::ended) continue;
            const Way where_tight = ways_.so(stands, [&](const Standing& s) { return !loose(s); });
            after = ways_.join(ways_.where(after, where_tight), ways_.where(read, where_loose),
                               [](const Standing& a, const Standing&) { return a; });
        }
    }
    set(at, after);
}

// -- Ways ----------------------------------------------------------------------------------------------------------------------

Standing Machine::merge(const Standing& a, const Standing& b, InstanceId at, const Row& row, std::string_view check) {
    Standing both = a;
    if (both.indebted == nullptr || a.debts() == 0) both.indebted = b.indebted; // of the one that owes
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
    findings_.back().help =
        check == "repeat-drifts"
            ? "leave it " + first + " again by the end of a round, or bring it to " + second + " before the first one"
            : remedies_.agree(row, instance.item, a, b);
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

// Works a branch on the ways where the answers hold and puts everything back as it was; gives what it wrote.
template <class Body>
Machine::Branch Machine::branch(const Answers& answers, Body body) {
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

// What is set and tight, and still owes its reading, was read before that: while the nut was loose, or before it was set.
void Machine::judge_readings(const Row& row, const Binding& binding) {
    const std::size_t found_before = findings_.size();
    std::set<linked::LimitId> told;
    for (const fitted::LimitUse& use : row.limits) {
        if (!use.figure.limit.known()) continue;
        for (const ItemId which : linked_.limits[use.figure.limit.index()].proves) {
            if (!which.known() || !fit_.items[which.index()].present) continue;
            const linked::Item& item = fit_.items[which.index()].is;
            for (const InstanceId at : instances(which, binding, nullptr)) {
                const AxisValue value = fit_.instances[at.index()].value;
                const std::uint64_t read =
                    all_proofs(which, value) &
                    proof_bits_of(fit_, linked_, item, use.figure.limit, [](InstanceId) { return true; });
                Moment now = moment_at(which, at, use.span);
                const bool loose =
                    std::any_of(item.disturbed_by.begin(), item.disturbed_by.end(), [&](ItemId adjuster) {
                        if (!adjuster.known() || !fit_.items[adjuster.index()].present) return false;
                        const std::vector<InstanceId> all = now.beside(adjuster);
                        return std::any_of(all.begin(), all.end(), [&](InstanceId each) {
                            return now.some(each, [](const Standing& s) { return s.away(); }).has_value();
                        });
                    });
                const auto bad = now.some(at, [&](const Standing& s) {
                    return s.coated != nullptr && (s.bits & read) != 0 && !s.owes(Debt::adjust);
                });
                if (loose || !bad) continue;
                Finding& finding = now.report(machine_check("read-too-early"),
                                              "the " + use.figure.name +
                                                  " decides here{sides}, and was read before {item} was set and tight",
                                              bad);
                finding.more.push_back({head_span(*bad->standing.coated), "read here"});
                now.blame_debt(finding, at, bad->standing, proof_bits | model::bit(Debt::prove));
                finding.help = remedies_.read_again(bad->standing.coated, row, use.figure.limit) +
                               " before this step: what is tightened moves what was read";
                told.insert(use.figure.limit);
            }
        }
    }
    take_blame(found_before);
    decide_by_readings(row, binding, told);
}

// -- Readings: each keeps what was done since it was taken ------------------------------------------------------------------------

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
Moment Machine::reading_moment(std::size_t which, source::Span span) {
    const auto& [limit, of] = readings_.slots()[which];
    if (of.known()) return moment_at(fit_.instances[of.index()].item, of, span);
    Moment now(fit_, linked_, ways_, findings_);
    now.span = span;
    now.standing_of = [this](InstanceId slot) { return standing(slot); };
    for (const ItemId proved : linked_.limits[limit.index()].proves)
        if (proved.known() && fit_.items[proved.index()].present) now.item = proved;
    return now;
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

// A decision on a reading that is older than the last work on what it is of, unless that was told in other words.
void Machine::decide_by_readings(const Row& row, const Binding& binding, const std::set<linked::LimitId>& told) {
    const std::size_t found_before = findings_.size();
    linked::LimitId first_old;
    std::vector<const fitted::LimitUse*> also_old; // told in one message with it
    for (const fitted::LimitUse& use : row.limits)
        for (const std::size_t which : readings_of(use, binding)) {
            const InstanceId slot = reading_slot(which);
            Moment now = reading_moment(which, use.span);
            const auto old = now.some(slot, [](const Standing& s) { return (s.on & older_than_work) != 0; });
            const bool tell = old && !told.contains(use.figure.limit);
            if (tell && !first_old.known()) first_old = use.figure.limit;
            if (tell && first_old != use.figure.limit && (also_old.empty() || also_old.back() != &use))
                also_old.push_back(&use);
            if (tell && first_old == use.figure.limit) {
                Finding& finding = now.report(
                    machine_check("read-before-work"),
                    "the " + use.figure.name + " decides here{sides}, and was read before the last work on it", old);
                if (old->standing.coated != nullptr)
                    finding.more.push_back({head_span(*old->standing.coated), "read here"});
                if (old->standing.placed != nullptr)
                    finding.more.push_back({head_span(*old->standing.placed), "and worked on since, here"});
                finding.help = remedies_.read_again(old->standing.coated, row, use.figure.limit) +
                               " before this step: work on a thing makes its reading an old one";
                read_before_work_.emplace_back(findings_.size() - 1, use.figure.limit);
            }
            change_slot(slot, [&](Standing& s) {
                if ((s.on & older_than_work) != 0) s.on |= told_old;
                s.on = (s.on & ~(older_than_work | not_judged | judged_before | was_worked)) | was_judged;
                s.indebted = &row;
            });
        }
    if (also_old.empty()) return;
    std::string names = linked_.limits[first_old.index()].id;
    for (const fitted::LimitUse* use : also_old) names += ", " + linked_.limits[use->figure.limit.index()].id;
    for (std::size_t i = found_before; i < findings_.size(); ++i) {
        for (const fitted::LimitUse* use : also_old) findings_[i].more.push_back({use->span, "and so was this"});
        findings_[i].help =
            "add `- measure: [" + names + "]` before this step: work on a thing makes its reading an old one";
    }
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
    std::set<std::size_t> gone;
    add_drifts(ended, gone);
    for (const auto& [which, limit] : read_before_work_) {
        const std::vector<ItemId>& proves = linked_.limits[limit.index()].proves;
        const auto owed = [&](const Finding& finding) {
            return finding.check->rule.name == "left-owing" &&
                   std::find(proves.begin(), proves.end(), finding.item) != proves.end();
        };
        if (std::any_of(findings_.begin() + static_cast<std::ptrdiff_t>(ended), findings_.end(), owed))
            gone.insert(which);
    }
    for (auto which = gone.rbegin(); which != gone.rend(); ++which)
        findings_.erase(findings_.begin() + static_cast<std::ptrdiff_t>(*which));
    read_before_work_.clear();
}

// What a round leaves away, and is away in the end, is told as that alone: where it is brought back, no round drifts.
void Machine::add_drifts(std::size_t ended, std::set<std::size_t>& to) const {
    for (std::size_t i = ended; i < findings_.size(); ++i)
        for (const auto& [at, standing] : findings_[i].blamed)
            for (const auto& [repeat, what] : drifted_) {
                if (what != at || standing.placed == nullptr || !holds(repeat->body, *standing.placed)) continue;
                for (std::size_t told = 0; told < ended; ++told)
                    if (findings_[told].check->rule.name == "repeat-drifts" &&
                        findings_[told].item == findings_[i].item && findings_[told].value == findings_[i].value)
                        to.insert(told);
            }
}

// At the end of a procedure: what was decided once is judged by its last reading, too.
void Machine::judge_last_readings() {
    std::map<const Row*, std::pair<linked::LimitId, std::size_t>>
        read_by; // a step, the limit that it is told of and the finding
    for (std::size_t which = 0; which < readings_.slots().size(); ++which) {
        const linked::LimitId limit = readings_.slots()[which].limit;
        const linked::Limit& is = linked_.limits[limit.index()];
        Moment now = reading_moment(which, {});
        const auto use_in = [&](const Row& row) {
            const auto at = std::find_if(row.limits.begin(), row.limits.end(),
                                         [&](const fitted::LimitUse& use) { return use.figure.limit == limit; });
            return at == row.limits.end() ? nullptr : &*at;
        };
        const auto open = now.some(reading_slot(which), [](const Standing& s) {
            return (s.on & not_judged) != 0 && (s.on & was_judged) != 0 && (s.on & told_old) == 0 &&
                   s.coated != nullptr;
        });
        if (open) {
            const fitted::LimitUse* use = use_in(*open->standing.coated);
            if (use == nullptr) continue;
            // What one step reads is decided by one step.
            const auto [told, fresh] = read_by.try_emplace(open->standing.coated, limit, findings_.size());
            if (!fresh && told->second.first != limit) {
                Finding& with = findings_[told->second.second];
                if (with.more.back().span != use->span) with.more.push_back({use->span, "nor by this one"});
                continue;
            }
            now.span = use->span;
            Finding& finding = now.report(
                machine_check("read-undecided"),
                "the " + use->figure.name + " is read here{sides} after work on it, and nobody decides by this reading",
                open);
            if (open->standing.placed != nullptr)
                finding.more.push_back({head_span(*open->standing.placed), "worked on here"});
            if (open->standing.indebted != nullptr)
                if (const fitted::LimitUse* decided_by = use_in(*open->standing.indebted))
                    finding.more.push_back({decided_by->span, "decided by a reading from before that"});
            finding.help =
                "add `- decide: " + is.id + "` behind it, and say under `if-not` what is done if it is still bad";
            continue;
        }
        const auto late = now.some(reading_slot(which), [](const Standing& s) {
            return (s.on & judged_before) != 0 && (s.on & told_old) == 0 && s.indebted != nullptr &&
                   s.placed != nullptr;
        });
        if (!late) continue;
        const fitted::LimitUse* use = use_in(*late->standing.indebted);
        if (use == nullptr) continue;
        now.span = use->span;
        Finding& finding = now.report(
            machine_check("decided-before-work"),
            "the " + use->figure.name + " is decided here{sides}, set anew afterwards, and not read again", late);
        finding.more.push_back({head_span(*late->standing.placed), "set anew here"});
        finding.help = "add `- measure: " + is.id + "` and `- decide: " + is.id + "` behind that step";
    }
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
    std::erase_if(read_before_work_, [&](const auto& each) { return each.first >= told; });
    faulty_ = faulty;
    drifted_ = drifted;
    late_ = late;
    // What was found in vain has to be found again where the same work is really done.
    for (; !settled && memory_log_.size() > memory; memory_log_.pop_back()) memory_[memory_log_.back()].pop_back();
    return settled;
}

// How long the locker has waited before the last round, when each takes as long as the first.
Way Machine::waited_in_rounds(InstanceId slot, Way from, Way end, const Row& row) {
    const std::uint64_t most = sets_in(fit_.instances[slot.index() - first_thread_].item);
    const auto more = static_cast<std::uint64_t>(std::max<std::int64_t>(row.at_most, 2) - 2);
    return ways_.join(from, end, [&](const Standing& x, const Standing& y) {
        Standing both = y;
        both.bits |= x.bits;
        both.on = std::max(x.on, y.on);
        if (y.on > x.on) both.on = std::min(most, y.on + std::min(more, most) * (y.on - x.on));
        return both;
    });
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
        decide_by_readings(row, binding, {});
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

// -- Procedures and jobs ----------------------------------------------------------------------------------------------------------

void Machine::call(const Row& row, const Binding& binding) {
    if (!row.calls.known()) return;
    const source::Span at = row.targets.empty() ? head_span(row) : row.targets.front().span;
    call_walk(row.calls, binding, at);
}

void Machine::call_walk(fitted::ProcedureIndex index, const Binding& binding, source::Span at) {
    const fitted::Procedure& procedure = fit_.procedures[index.index()];
    const Touched touched = touched_by(index, binding);
    // What a call breaks is told at each call, whatever was walked before.
    ends(procedure.starts_with, binding, touched, at, procedure.source->source->id.value);
    if (unsure_.contains(index)) lose_sight();
    remembered({&procedure, binding.axis, binding.value}, [&] {
        auto live = std::exchange(live_, {});
        auto keys = std::exchange(asked_keys_, {});
        walk(procedure, binding);
        live_ = std::move(live);
        asked_keys_ = std::move(keys);
    });
}

// What a procedure touches: found by proving it alone, between its own contracts.
const Machine::Touched& Machine::touched_by(fitted::ProcedureIndex index, const Binding& binding) {
    const auto key = std::pair(index, binding);
    const auto known = touched_by_.find(key);
    if (known != touched_by_.end()) return known->second;
    touched_by_[key]; // a cycle was reported by linked/; here it ends
    const fitted::Procedure& procedure = fit_.procedures[index.index()];
    auto state = std::exchange(state_, resting_);
    auto path = std::exchange(path_, {});
    auto log = std::exchange(log_, {});
    auto recorders = std::exchange(recorders_, {});
    auto touched = std::exchange(touched_, {});
    auto live = std::exchange(live_, {});
    auto keys = std::exchange(asked_keys_, {});
    auto entered = std::exchange(entered_, {});
    auto repaired = std::exchange(repaired_, {});
    auto findings = std::exchange(findings_, {});
    auto old_readings = std::exchange(read_before_work_, {});
    const auto sight = std::exchange(sight_, std::nullopt);
    if (lacks_entry(procedure.source->source->starts_with, procedure.source->starts_with)) lose_sight();
    enter(procedure.starts_with, binding, false);
    walk(procedure, binding);
    if (lacks_entry(procedure.source->source->ends_with, procedure.source->ends_with)) lose_sight();
    Touched mine = touched_;
    for (const auto& [at, said] : entered_) mine.insert(at);
    ended_ = &procedure;
    const std::size_t found_before = findings_.size();
    ends(procedure.ends_with, binding, mine, procedure.source->source->id.span);
    if (alive() != Ways::ended) judge_last_readings();
    forget_old_readings(found_before);
    if (binding.value == no_value) left_alone_[index] = unfinished();
    ended_ = nullptr;
    if (sight_) unsure_.insert(index);
    forget_unsure();
    findings_ = std::move(findings);
    read_before_work_ = std::move(old_readings);
    sight_ = sight;
    state_ = std::move(state);
    path_ = std::move(path);
    log_ = std::move(log);
    recorders_ = std::move(recorders);
    touched_ = std::move(touched);
    live_ = std::move(live);
    asked_keys_ = std::move(keys);
    entered_ = std::move(entered);
    repaired_ = std::move(repaired);
    return touched_by_[key] = mine;
}

void Machine::judge_end(InstanceId at, const linked::Entering* entering, source::Span where, std::string_view begins,
                        bool whole) {
    if (begins.empty() && repaired_.contains(at)) return;
    const ItemId item = fit_.instances[at.index()].item;
    Moment now = moment_at(item, at, where);
    now.begins = begins;
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
        // What is off or loose owes its locker as a matter of course.
        if (entering->has_place && entering->place != 0)
            now.may_owe |= model::bit(Debt::locker) | model::bit(Debt::degrease);
        if (begins.empty()) now.span = entering->span;
    }
    const std::size_t before = findings_.size();
    for (const Check* check : at_end_) check->judge(now, *check);
    take_blame(before);
    if (findings_.size() == before || begins.empty()) return;
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
bool Machine::tell_order(std::size_t first) {
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
    for (Finding& each : kept) each.help = "in this order each finds what it asks for: `do: [" + names + "]`";
    findings_.resize(first);
    findings_.insert(findings_.end(), kept.begin(), kept.end());
    return true;
}

Boundaries Machine::boundaries(fitted::ProcedureIndex index) {
    Boundaries made;
    const fitted::Procedure& procedure = fit_.procedures[index.index()];
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
        call_walk(index, Binding{}, at);
        if (!begins_as_asked(found_before, at) && tell_order(found_before)) return;
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
    ends({}, Binding{}, touched, job->source->id.span);
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

} // namespace

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

void prove_procedures(const fitted::Fitted& fitted, std::size_t fit, messages::Messages& messages) {
    Machine machine(fitted, fit, messages);
    for (std::size_t i = 0; i < fitted.fits[fit].procedures.size(); ++i)
        machine.procedure_alone(fitted::ProcedureIndex(i));
    machine.tell();
}

std::optional<Proved> prove_job(const fitted::Fitted& fitted, std::size_t fit, messages::Messages& messages) {
    Machine machine(fitted, fit, messages);
    machine.job();
    machine.tell();
    if (messages.any_error() || machine.lost_sight()) return std::nullopt;
    Proved proved(fitted, fit);
    proved.cards_ = machine.left_by_card();
    return proved;
}

} // namespace benchleaf::proof
