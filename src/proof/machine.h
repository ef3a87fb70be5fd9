// The abstract machine: how each instance of each item stands on each way, and what the rows do to it. It is made of seven parts:
//   machine.cpp  the state, its blocks and branches
//   walk.cpp     rows in their order, questions, repeats, stops
//   work.cpp     what a step demands and leaves
//   threads.cpp  thread-locker on its way to set
//   decide.cpp   readings and what is decided by them
//   alone.cpp    a procedure by itself, between its contracts
//   prove.cpp    jobs, calls and what is so at an end
// It is of this folder alone: what others ask for is in proved.h.
#pragma once

#include "base/require.h"
#include "linked/deeds.h"
#include "proof/check.h"
#include "proof/decisions.h"
#include "proof/order.h"
#include "proof/proved.h"
#include "proof/readings.h"
#include "proof/remedy.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <unordered_map>
#include <unordered_set>
#include <utility>

namespace benchleaf::proof {

using fitted::AxisValue;
using fitted::InstanceId;
using fitted::no_value;
using fitted::Row;
using linked::ItemId;
using model::Debt;
using model::Effect;

inline bool is_error(const Finding& finding) {
    return finding.check->rule.level == messages::Level::error;
}

// Which value of which axis rows are worked for; without a value they touch every one.
struct Binding {
    linked::AxisId axis;
    AxisValue value = no_value;
    auto operator<=>(const Binding&) const = default;
};

// An item's place, and debts, as a contract says it.
std::string entry_of(const fitted::Fit& fit, const linked::Entering& entering);

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
    Machine(const fitted::Fitted& fitted, std::size_t fit, messages::Messages& messages, Tells tells = Tells::mistakes)
        : tells_(tells), linked_(*fitted.linked), fit_(fitted.fits[fit]), messages_(messages),
          substances_(linked_, fit_), decisions_(linked_, fit_), readings_(linked_, fit_), remedies_(fit_, linked_) {
        for (const Check* check : all_checks()) {
            if (check->demand) by_demand_[static_cast<std::size_t>(*check->demand)].push_back(check);
            if (check->when == When::end) at_end_.push_back(check);
            if (check->when == When::stop) at_stop_.push_back(check);
            if (check->when == When::machine) machine_checks_.emplace(check->rule.name, check);
        }
        alive_slot_ = InstanceId(fit_.instances.size());
        air_slot_ = InstanceId(fit_.instances.size() + 1);
        for (std::size_t i = 0; i < fit_.items.size(); ++i)
            if (const fitted::Item& item = fit_.items.unnoted(i); item.present && item.is.circuit_of.settles_in)
                settling_.emplace_back(i);
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
    bool airs_itself(ItemId circuit) const;
    void let_air_out(ItemId circuit, InstanceId at);
    void let_out(ItemId item, InstanceId at);
    void level_anew(const Row& row, ItemId circuit, InstanceId at);
    State all_at_rest();
    void enter(const std::vector<linked::Entering>& contract, const Binding& binding, bool only_places);

    // -- Rows ------------------------------------------------------------------------------------------------------------
    void plan(const fitted::Procedure& procedure);
    using Named = std::function<bool(linked::StepId)>;
    std::vector<const Row*> plan(const fitted::Rows& rows, const Named& named_later);
    void walk(const fitted::Procedure& procedure, const Binding& caller);
    void walk_rows(const fitted::Rows& rows, const Binding& binding, const fitted::Procedure* top = nullptr);
    void not_reached(const Row& row, std::string what, const fitted::Procedure* top, std::string help = {});
    void walk_row(const Row& row, const Binding& binding);
    // What a step does that could not be read is not known, and was told: nothing that is found behind it is told as well.
    void lose_sight() {
        if (!sight_) sight_ = findings_.size();
    }
    // What was found since then is of what nobody knows. Some of what was found before may be told with another by now.
    void drop_unsure() {
        if (sight_ && *sight_ < findings_.size()) findings_.resize(*sight_);
    }
    void forget_unsure() {
        drop_unsure();
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
    void turn_thread(const Row& row, const model::Deed& deed, const Object& object, InstanceId at);
    bool wipes_with_grease(const Row& row) const;
    bool is_greasy(linked::ConsumableId which) const {
        const auto& sort = linked_.consumables[which.index()].figures.sort;
        return sort && (sort->value == model::ConsumableSort::lubricant || sort->value == model::ConsumableSort::fluid);
    }
    void now_on(InstanceId at, const Row& row, std::uint64_t bits);
    InstanceId decision_slot(const Decision& decision, const Binding& binding) const;
    void decided(const Row& row, const Decision& decision, const Binding& binding, std::string_view what);
    bool never_read(const Row& row, const Binding& binding);
    bool told_unread(linked::LimitId limit) const;
    void stale(const Decision& decision, const Binding& binding);
    void read_anew(const std::vector<std::size_t>& decisions, const Binding& binding);
    void judge_readings(const Row& row, const Binding& binding);
    InstanceId reading_slot(std::size_t which) const { return InstanceId(first_reading_ + which); }
    std::vector<std::size_t> readings_of(const fitted::LimitUse& use, const Binding& binding) const;
    Moment::Reading reading(std::size_t which, const fitted::LimitUse* use) const;
    std::vector<Moment::Reading> read_for_adjustments(const Row& row, const Binding& binding) const;
    bool proves_something(linked::LimitId limit) const;
    void change_slot(InstanceId slot, const std::function<void(Standing&)>& how);
    void take_readings(const Row& row, const Binding& binding);
    void decide_by_readings(const Row& row, const Binding& binding, std::size_t first);
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
    void take_for_kept(const std::vector<linked::Entering>& contract, const Binding& binding,
                       const std::set<InstanceId>& touched);
    void tell_help_once(std::size_t first);
    void tell_step_once(std::vector<Finding>& findings) const;
    void tell_question_once(std::vector<Finding>& findings) const;
    void tell_leaving_once(const fitted::Procedure& procedure, std::vector<Finding>& findings) const;
    bool next_asks_for(const fitted::Procedure& procedure, const std::vector<Finding>& findings) const;
    void forget(const Row& question_row, AxisValue value);
    void ask_for(fitted::ProcedureIndex index);
    bool begins_as_asked(std::size_t first, source::Span at);
    bool tell_order(std::size_t first, const fitted::Procedure& begins);
    void tell_left_out(std::size_t first, std::size_t which, source::Span at);
    Boundaries boundaries(fitted::ProcedureIndex index);
    void all_in_place(fitted::ProcedureIndex index, source::Span at);

    std::vector<Object> objects(const Row& row) const;
    std::vector<InstanceId> instances(ItemId item, const Binding& binding,
                                      const std::vector<AxisValue>* narrowed) const;
    std::vector<InstanceId> beside(ItemId other, ItemId item, AxisValue value) const;
    Moment moment(source::Span span);
    Moment moment_at(ItemId item, InstanceId at, source::Span span);

    // -- Alone -----------------------------------------------------------------------------------------------------------
    using Touched = std::set<InstanceId>;
    using Contract = std::vector<linked::Entering>;
    struct Walked {
        std::vector<Finding> findings;
        Touched touched;
        std::vector<Left> left;
        bool unsure = false; // it holds a step that could not be read
    };
    const Touched& touched_by(fitted::ProcedureIndex index, const Binding& binding);
    Walked walk_alone(const fitted::Procedure& procedure, const Contract& begins, const Binding& binding);
    std::vector<Finding> try_alone(const fitted::Procedure& procedure, const Contract& begins,
                                   const fitted::Section* once = nullptr, std::set<const Row*> without = {});
    bool lacks_a_line(fitted::ProcedureIndex index, std::vector<Finding>& findings);
    bool begins_elsewhere(fitted::ProcedureIndex index, std::vector<Finding>& findings);
    std::optional<Contract> as_found(const fitted::Procedure& procedure, const std::vector<Finding>& findings);
    void tell_entry(fitted::ProcedureIndex index, const Contract& begins, const linked::Procedure* behind,
                    std::vector<Finding>& findings, std::vector<Finding> rest);
    bool worked_once(const fitted::Procedure& procedure, std::vector<Finding>& findings);
    bool set_in_passing(const fitted::Procedure& procedure, std::vector<Finding>& findings);

    // -- Ends ------------------------------------------------------------------------------------------------------------
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
    Branch branch(const Answers& answers, const std::function<void()>& body);
    Standing merge(const Standing& a, const Standing& b, InstanceId at, const Row& row, std::string_view check);
    Way join_slot(InstanceId at, Way a, Way b, const Row& row, std::string_view check);
    const Check& machine_check(std::string_view name) const;
    void ask(std::string_view check, Moment& now) const {
        const Check& asked = machine_check(check);
        asked.judge(now, asked);
    }
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
    void remembered(const BlockKey& key, const std::function<void()>& body);

    const Tells tells_;
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
    std::set<fitted::ProcedureIndex> unsure_; // procedures that hold such a step
    std::vector<Finding> told_;               // of what was walked
    std::vector<const Row*> asked_rows_;      // by Asked

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
        std::string help;
    };
    std::vector<NotReached> not_reached_;
    std::map<InstanceId, source::Span> entered_; // what a contract said of how the work begins
    Touched repaired_;                           // what a call did not find as it was promised
    const Row* calling_ = nullptr;               // the `do` at work
    const fitted::Procedure* within_ = nullptr;  // whose rows are walked
    const fitted::Section* once_ = nullptr;      // a section that is tried as if it said `once: true`
    std::set<const Row*> without_;               // rows that are tried as if they were not there
    std::set<fitted::ProcedureIndex> mistaken_; // whose findings all come of one mistake, which was told in their place
    // Settings that a procedure works with as if it began elsewhere than it says: of each without a `starts-with`, and of what is called just now.
    std::map<fitted::ProcedureIndex, std::set<ItemId>> wants_entry_;
    std::set<ItemId> entry_unsaid_;
    bool of_job_ = false;                      // it is the job that ends
    const fitted::Procedure* ended_ = nullptr; // the procedure that ends, proved by itself
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

    struct Depth {
        explicit Depth(Machine& machine) : machine_(machine) { ++machine_.depth_; }
        ~Depth() { --machine_.depth_; }
        Depth(const Depth&) = delete;
        Depth& operator=(const Depth&) = delete;
        Machine& machine_;
    };
};

} // namespace benchleaf::proof
