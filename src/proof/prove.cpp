#include "proof/check.h"
#include "proof/proved.h"
#include "proof/tell.h"

#include "base/require.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <unordered_map>

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

bool takes(model::SortSet set, linked::Sort sort) {
    switch (set) {
    case model::SortSet::any:
        return true;
    case model::SortSet::fastener:
        return sort == linked::Sort::fastener;
    case model::SortSet::clip:
        return sort == linked::Sort::clip;
    case model::SortSet::part:
        return sort == linked::Sort::part;
    case model::SortSet::circuit:
        return sort == linked::Sort::circuit;
    case model::SortSet::setting:
        return sort == linked::Sort::setting;
    case model::SortSet::adjustment:
        return sort == linked::Sort::adjustment;
    }
    return false;
}

class Machine {
public:
    Machine(const fitted::Fitted& fitted, std::size_t fit, messages::Messages& messages)
        : linked_(*fitted.linked), fit_(fitted.fits[fit]), messages_(messages) {
        for (const Check* check : all_checks()) {
            if (check->demand) by_demand_[static_cast<std::size_t>(*check->demand)].push_back(check);
            if (check->when == When::end) at_end_.push_back(check);
            if (check->when == When::stop) at_stop_.push_back(check);
            if (check->when == When::machine) machine_checks_.emplace(check->rule.name, check);
        }
        alive_slot_ = InstanceId(fit_.instances.size());
    }

    void procedure_alone(fitted::ProcedureIndex index) { touched_by(index, Binding{}); }

    void job();
    void tell() { proof::tell(fit_, linked_, findings_, asked_rows_, messages_); }

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
    State all_at_rest() const;
    void enter(const std::vector<linked::Entering>& contract, const Binding& binding, bool only_places);

    // -- Rows ------------------------------------------------------------------------------------------------------------
    void walk(const fitted::Procedure& procedure, const Binding& caller);
    void walk_rows(const fitted::Rows& rows, const Binding& binding, bool top);
    void walk_row(const Row& row, const Binding& binding);
    void work(const Row& row, const Binding& binding);
    void work_on(const Row& row, const Object& object, const Binding& binding);
    void take_effects(const Row& row, const model::Deed& deed, const Object& object, InstanceId at, AxisValue value);
    void question(const Row& row, const Binding& binding);
    void if_answered(const Row& row, const Binding& binding);
    void repeat(const Row& row, const Binding& binding);
    void stop(const Row& row, const Binding& binding);
    void call(const Row& row, const Binding& binding);
    void call_walk(fitted::ProcedureIndex index, const Binding& binding, source::Span at);
    void forget(const Row& question_row, AxisValue value);

    std::vector<Object> objects(const Row& row) const;
    std::vector<InstanceId> instances(ItemId item, const Binding& binding,
                                      const std::vector<AxisValue>* narrowed) const;
    std::vector<InstanceId> beside(ItemId other, ItemId item, AxisValue value) const;
    const model::Deed* deed_for(const model::Verb& verb, linked::Sort sort, linked::Place to) const;
    Moment moment_at(ItemId item, InstanceId at, source::Span span);

    // -- Ends ------------------------------------------------------------------------------------------------------------
    using Touched = std::set<InstanceId>;
    const Touched& touched_by(fitted::ProcedureIndex index, const Binding& binding);
    void ends(const std::vector<linked::Entering>& contract, const Binding& binding, const Touched& touched,
              source::Span at, bool repair);
    void judge_end(InstanceId at, const linked::Entering* entering, source::Span where, bool repair);

    // -- Ways ------------------------------------------------------------------------------------------------------------
    struct Branch {
        std::vector<std::pair<InstanceId, Way>> after; // what it wrote, with its value at the branch's end
    };
    template <class Body>
    Branch branch(const Answers& answers, Body body);
    Standing merge(const Standing& a, const Standing& b, InstanceId at, const Row& row, std::string_view check);
    Way join_slot(InstanceId at, Way a, Way b, const Row& row, std::string_view check);
    void report_machine(std::string_view check, source::Span at, std::string what, ItemId item = {},
                        AxisValue value = no_value);

    // A block that was walked before from the same state of all that it read does the same again.
    struct Recorder {
        std::map<InstanceId, Way> reads; // the value before the block's first look or change
        std::set<InstanceId> writes;
        Touched touched;
    };
    struct Remembered {
        std::vector<std::pair<InstanceId, Way>> before;
        std::vector<std::pair<InstanceId, Way>> after;
        Touched touched;
    };
    using BlockKey = std::tuple<const void*, linked::AxisId, AxisValue>;
    template <class Body>
    void remembered(const BlockKey& key, Body body);

    const linked::Linked& linked_;
    const fitted::Fit& fit_;
    messages::Messages& messages_;
    std::vector<const Check*> by_demand_[64];
    std::vector<const Check*> at_end_;
    std::vector<const Check*> at_stop_;
    std::map<std::string_view, const Check*> machine_checks_;

    Ways ways_;
    State state_;
    InstanceId alive_slot_;
    Answers path_;
    std::vector<std::pair<InstanceId, Way>> log_;
    std::vector<Recorder> recorders_;
    Touched touched_;
    std::vector<Finding> findings_;
    std::vector<const Row*> asked_rows_; // by Asked

    struct LiveQuestion {
        Asked asked = 0;
        std::vector<InstanceId> depend; // slots whose value may depend on it
    };
    std::map<std::pair<linked::StepId, AxisValue>, LiveQuestion> live_;
    std::map<std::pair<fitted::ProcedureIndex, Binding>, Touched> touched_by_;
    std::map<BlockKey, std::vector<Remembered>> memory_;
    int depth_ = 0;

    friend struct Depth;
};

// -- State ---------------------------------------------------------------------------------------------------------------------

Standing Machine::at_rest(InstanceId at) const {
    const fitted::Item& item = fit_.items[fit_.instances[at.index()].item.index()];
    Standing standing;
    if (item.is.rests_anywhere) standing.place = unknown_place;
    if (item.is.sort == linked::Sort::fastener && item.is.threadlock.known())
        standing.bits = model::bit(Debt::locker_set);
    return standing;
}

Machine::State Machine::all_at_rest() const {
    State state(fit_.instances.size() + 1);
    auto& ways = const_cast<Ways&>(ways_);
    for (std::size_t i = 0; i < fit_.instances.size(); ++i) state[i] = ways.of(at_rest(InstanceId(i)));
    state[alive_slot_.index()] = Ways::going;
    return state;
}

void Machine::enter(const std::vector<linked::Entering>& contract, const Binding& binding, bool only_places) {
    for (const linked::Entering& entering : contract) {
        if (!entering.item.known()) continue;
        for (const InstanceId at : instances(entering.item, binding, nullptr)) {
            Standing standing = at_rest(at);
            if (entering.has_place) standing.place = entering.place;
            if (standing.place != 0) standing.bits &= ~fact_bits;
            if (!only_places) {
                standing.bits |= entering.owes & ~model::bit(Debt::bleed);
                if ((entering.owes & model::bit(Debt::bleed)) != 0) standing.bits |= vent_bits;
            }
            set(at, ways_.of(standing));
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
    return now;
}

void Machine::report_machine(std::string_view check, source::Span at, std::string what, ItemId item, AxisValue value) {
    const auto found = machine_checks_.find(check);
    base::require(found != machine_checks_.end(), "the machine reports through its own checks");
    Finding finding;
    finding.check = found->second;
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
        return;
    }
    recorders_.emplace_back();
    body();
    Recorder mine = std::move(recorders_.back());
    recorders_.pop_back();
    Remembered once;
    for (const auto& [at, way] : mine.reads) once.before.emplace_back(at, ways_.given(way, path_));
    for (const InstanceId at : mine.writes) once.after.emplace_back(at, state_[at.index()]);
    once.touched = mine.touched;
    if (!recorders_.empty()) {
        Recorder& outer = recorders_.back();
        for (const auto& [at, way] : mine.reads) outer.reads.try_emplace(at, way);
        outer.writes.insert(mine.writes.begin(), mine.writes.end());
        outer.touched.insert(mine.touched.begin(), mine.touched.end());
    }
    memory_[key].push_back(std::move(once));
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
    if (row.verb == model::VerbName::wait && row.step != nullptr && row.step->wait_for.known()) {
        for (std::size_t i = 0; i < fit_.items.size(); ++i)
            if (fit_.items[i].present && fit_.items[i].is.threadlock == row.step->wait_for)
                all.push_back({ItemId(i), 0, row.step->wait_for, row.step->source->span, nullptr});
    }
    return all;
}

const model::Deed* Machine::deed_for(const model::Verb& verb, linked::Sort sort, linked::Place to) const {
    const bool can_rest = std::any_of(verb.deeds.begin(), verb.deeds.end(), [&](const model::Deed& deed) {
        return takes(deed.on, sort) && deed.to == model::Leaves::written;
    });
    for (const model::Deed& deed : verb.deeds) {
        if (!takes(deed.on, sort)) continue;
        // Where a verb goes to a written place, going back to rest may be a deed of its own.
        if (can_rest && verb.deeds.size() > 1 && (to == 0) != (deed.to == model::Leaves::rest)) continue;
        return &deed;
    }
    return nullptr;
}

void Machine::walk(const fitted::Procedure& procedure, const Binding& caller) {
    std::map<linked::StepId, std::size_t> last_use; // of each question that is named later: the section
    const std::function<void(const fitted::Rows&, std::size_t)> look = [&](const fitted::Rows& rows,
                                                                           std::size_t section) {
        for (const Row& row : rows) {
            for (const linked::Answer& answer : row.answers) last_use[answer.question] = section;
            for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise})
                look(*inner, section);
        }
    };
    for (std::size_t i = 0; i < procedure.sections.size(); ++i) look(procedure.sections[i].rows, i);

    for (std::size_t i = 0; i < procedure.sections.size(); ++i) {
        const fitted::Section& section = procedure.sections[i];
        const bool narrowed = caller.value != no_value && caller.axis == procedure.axis;
        if (section.bound && !narrowed) {
            for (const AxisValue value : procedure.values)
                walk_rows(section.rows, Binding{procedure.axis, value}, true);
        } else {
            walk_rows(section.rows, caller, true);
        }
        // A question's ways are joined once nothing names it any more.
        for (std::size_t j = 0; j <= i; ++j) {
            for (const Row& row : procedure.sections[j].rows) {
                if (row.kind != fitted::RowKind::question || !row.answer_used) continue;
                const auto use = last_use.find(row.id);
                if (use != last_use.end() && use->second > i) continue;
                forget(row, no_value);
                for (const AxisValue value : procedure.values) forget(row, value);
                if (caller.value != no_value) forget(row, caller.value);
            }
        }
    }
}

void Machine::walk_rows(const fitted::Rows& rows, const Binding& binding, bool top) {
    bool told = false;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const Row& row = rows[i];
        if (!row.only.empty() && binding.value != no_value &&
            std::find(row.only.begin(), row.only.end(), binding.value) == row.only.end())
            continue;
        if (alive() == Ways::ended) {
            if (!told && row.step != nullptr && row.kind != fitted::RowKind::hole)
                report_machine("unreachable", row.step->source->span,
                               "no way leads here: the work has stopped before this step");
            told = true;
            break;
        }
        walk_row(row, binding);
        if (top) continue;
        for (std::size_t j = 0; j <= i; ++j) {
            const Row& asked = rows[j];
            if (asked.kind != fitted::RowKind::question || !asked.answer_used) continue;
            const bool later =
                std::any_of(rows.begin() + static_cast<std::ptrdiff_t>(i) + 1, rows.end(), [&](const Row& next) {
                    const std::function<bool(const Row&)> names = [&](const Row& r) {
                        if (std::any_of(r.answers.begin(), r.answers.end(),
                                        [&](const auto& a) { return a.question == asked.id; }))
                            return true;
                        for (const fitted::Rows* inner : {&r.if_so, &r.if_not, &r.body, &r.otherwise})
                            if (std::any_of(inner->begin(), inner->end(), names)) return true;
                        return false;
                    };
                    return names(next);
                });
            if (!later) forget(asked, binding.value);
        }
    }
}

struct Depth {
    explicit Depth(Machine& machine) : machine_(machine) { ++machine_.depth_; }
    ~Depth() { --machine_.depth_; }
    Depth(const Depth&) = delete;
    Depth& operator=(const Depth&) = delete;
    Machine& machine_;
};

void Machine::walk_row(const Row& row, const Binding& binding) {
    const Depth deeper(*this);
    base::require(depth_ < 10000, "a walk is bounded in depth");
    switch (row.kind) {
    case fitted::RowKind::hole:
    case fitted::RowKind::plain:
        return;
    case fitted::RowKind::verb:
        return row.verb == model::VerbName::do_procedure ? call(row, binding) : work(row, binding);
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

void Machine::work(const Row& row, const Binding& binding) {
    for (const Object& object : objects(row))
        if (object.item.known() && fit_.items[object.item.index()].present) work_on(row, object, binding);
}

void Machine::work_on(const Row& row, const Object& object, const Binding& binding) {
    const fitted::Item& item = fit_.items[object.item.index()];
    const model::Deed* deed = deed_for(model::verb(row.verb), item.is.sort, object.place);
    if (deed == nullptr) return;
    const std::vector<InstanceId> all = instances(object.item, binding, object.values);
    // All of them are judged before any of them changes: a row does its whole item at once.
    for (const InstanceId at : all) {
        Moment now = moment_at(object.item, at, object.span);
        now.row = &row;
        now.deed = deed;
        now.place = object.place;
        now.consumable = object.consumable;
        touched_.insert(at);
        if (!recorders_.empty()) recorders_.back().touched.insert(at);
        for (const model::Demand demand : deed->demands) {
            const std::size_t before = findings_.size();
            for (const Check* check : by_demand_[static_cast<std::size_t>(demand)]) check->judge(now, *check);
            // What is not where the verb starts from fails other demands for the same reason.
            if (demand == model::Demand::place && findings_.size() > before) break;
        }
    }
    for (const InstanceId at : all) {
        take_effects(row, *deed, object, at, fit_.instances[at.index()].value);
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
            after.place = to;
            after.placed = &row;
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
    // The vents of a circuit are numbered in the order of their instances.
    const auto vent_bit = [&](ItemId circuit, InstanceId vent) -> std::uint64_t {
        unsigned number = first_vent_bit;
        for (const ItemId other : fit_.items[circuit.index()].is.vented_by)
            for (const InstanceId each : instances(other, {}, nullptr)) {
                if (each == vent) return std::uint64_t{1} << std::min(number, 63U);
                ++number;
            }
        return 0;
    };
    const auto owe_proofs = [&](ItemId circuit, AxisValue side, ItemId opener) {
        if (!circuit.known() || !fit_.items[circuit.index()].present) return;
        const linked::Item& is = fit_.items[circuit.index()].is;
        if (!is.circuit_of.sort) return;
        std::uint64_t bits = 0;
        for (const model::Proof& proof : model::proofs(is.circuit_of.sort->value)) {
            if (proof.debt != Debt::bleed) bits |= model::bit(proof.debt);
        }
        if ((is.circuit_of.sort->value) == model::CircuitSort::hydraulic) {
            for (const ItemId vent : is.vented_by) {
                if (!vent.known() || !fit_.items[vent.index()].present) continue;
                const auto vents = opener.known() ? beside(vent, opener, side) : instances(vent, {}, nullptr);
                for (const InstanceId each : vents) bits |= vent_bit(circuit, each);
            }
        }
        for (const InstanceId who : instances(circuit, {}, nullptr)) owe(who, bits);
    };
    const auto circuit_pays = [&](Debt debt) { pay(at, model::bit(debt)); };

    for (const Effect effect : deed.effects) {
        switch (effect) {
        case Effect::owe_opened:
            owe_proofs(item.opens, value, object.item);
            break;
        case Effect::owe_all_proofs:
            owe_proofs(object.item, value, {});
            break;
        case Effect::owe_moved:
            if (item.circuit.known() && fit_.items[item.circuit.index()].present) {
                std::uint64_t bits = 0;
                const auto& sort = fit_.items[item.circuit.index()].is.circuit_of.sort;
                if (sort)
                    for (const model::Proof& proof : model::proofs(sort->value))
                        if (proof.debt == Debt::prime || (proof.debt == Debt::level)) bits |= model::bit(proof.debt);
                for (const InstanceId who : instances(item.circuit, {}, nullptr)) owe(who, bits);
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
                    owe(who, model::bit(Debt::adjust) | (is.proved_by.empty() ? 0 : model::bit(Debt::prove)));
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
        case Effect::pay_degrease:
            pay(at, model::bit(Debt::degrease));
            break;
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
                for (const InstanceId who : instances(item.vents, {}, nullptr)) pay(who, vent_bit(item.vents, at));
            break;
        case Effect::pay_adjust:
            circuit_pays(Debt::adjust);
            break;
        case Effect::pay_prove:
            // A reading before the adjustment is made proves nothing, and does no harm.
            change(at, [&](const Standing& before) {
                Standing after = before;
                if (!after.owes(Debt::adjust)) after.bits &= ~model::bit(Debt::prove);
                return after;
            });
            break;
        case Effect::locker_sets:
            change(at, [&](const Standing& before) {
                Standing after = before;
                if (after.place == 0) after.bits |= model::bit(Debt::locker_set);
                return after;
            });
            break;
        }
    }
}

// -- Ways ----------------------------------------------------------------------------------------------------------------------

Standing Machine::merge(const Standing& a, const Standing& b, InstanceId at, const Row& row, std::string_view check) {
    Standing both = a;
    if (both.indebted == nullptr) both.indebted = b.indebted;
    both.bits = a.bits | b.bits;
    if (a.place == b.place) return both;
    both.place = unknown_place;
    if (!a.place_known() || !b.place_known()) return both;
    const fitted::Instance& instance = fit_.instances[at.index()];
    const fitted::Item& item = fit_.items[instance.item.index()];
    const source::Span where = row.step != nullptr ? row.step->source->span : source::Span{};
    const std::string first = item.is.places[a.place].name;
    const std::string second = item.is.places[b.place].name;
    report_machine(check, where,
                   check == "repeat-drifts"
                       ? "{item} is " + first + " when the repeat begins and " + second + " when it comes round{sides}"
                       : "{item} is " + first + " on one way and " + second + " on the other{sides}",
                   instance.item, instance.value);
    for (const Standing* s : {&a, &b})
        if (s->placed != nullptr)
            findings_.back().more.push_back(
                {target_span(*s->placed, instance.item), item.is.places[s->place].name + " since here"});
    return both;
}

Way Machine::join_slot(InstanceId at, Way a, Way b, const Row& row, std::string_view check) {
    if (at == alive_slot_) return ways_.either_alive(a, b);
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
    for (const auto& [at, before] : first) result.after.emplace_back(at, ways_.given(state_[at.index()], path_));
    for (const auto& [at, before] : first) state_[at.index()] = before;
    log_.resize(mark);
    path_.resize(path_.size() - answers.size());
    return result;
}

void Machine::question(const Row& row, const Binding& binding) {
    const auto asked = static_cast<Asked>(asked_rows_.size());
    asked_rows_.push_back(&row);
    const Answers none;
    const Branch yes = branch(none, [&] { walk_rows(row.if_so, binding, false); });
    const Branch no = branch(none, [&] { walk_rows(row.if_not, binding, false); });

    std::set<InstanceId> slots;
    for (const Branch* side : {&yes, &no})
        for (const auto& [at, way] : side->after) slots.insert(at);
    const auto value_on = [&](const Branch& side, InstanceId at) {
        const auto found =
            std::find_if(side.after.begin(), side.after.end(), [&](const auto& entry) { return entry.first == at; });
        return found != side.after.end() ? found->second : ways_.given(raw(at), path_);
    };
    const Way alive_yes = value_on(yes, alive_slot_);
    const Way alive_no = value_on(no, alive_slot_);
    LiveQuestion live{asked, {}};
    for (const InstanceId at : slots) {
        Way on_yes = value_on(yes, at);
        Way on_no = value_on(no, at);
        if (row.answer_used) {
            set(at, ways_.either(asked, on_yes, on_no));
            live.depend.push_back(at);
            continue;
        }
        if (at != alive_slot_) {
            on_yes = ways_.where(on_yes, alive_yes);
            on_no = ways_.where(on_no, alive_no);
        }
        set(at, join_slot(at, on_yes, on_no, row, "ways-differ"));
    }
    if (row.answer_used) live_[{row.id, binding.value}] = std::move(live);
}

void Machine::if_answered(const Row& row, const Binding& binding) {
    Answers answers;
    for (const linked::Answer& answer : row.answers) {
        auto live = live_.find({answer.question, binding.value});
        if (live == live_.end()) live = live_.find({answer.question, no_value});
        if (live == live_.end()) {
            const bool by_side = std::any_of(live_.begin(), live_.end(),
                                             [&](const auto& l) { return l.first.first == answer.question; });
            if (by_side)
                report_machine(
                    "answer-per-side", answer.span,
                    "this step is worked once, but the question is asked for each side: its answers may differ");
            return;
        }
        answers.emplace_back(live->second.asked, answer.yes);
    }
    for (const auto& [asked, yes] : answers) {
        const auto contradicted = std::find(path_.begin(), path_.end(), std::pair(asked, !yes));
        if (contradicted != path_.end()) {
            report_machine("unreachable", row.step->source->span,
                           "no way leads here: the question was answered otherwise on this way");
            return;
        }
    }
    const Way before_alive = ways_.given(alive(), answers);
    if (before_alive == Ways::ended) {
        report_machine("unreachable", row.step->source->span,
                       "no way leads here: that answer ends the work before this step");
        return;
    }
    const Branch done = branch(answers, [&] { walk_rows(row.if_so, binding, false); });
    for (const auto& [at, way] : done.after) {
        Way inside = way;
        const Way old = ways_.given(raw(at), path_);
        // From the last answer outwards: inside where all hold, as it was elsewhere.
        for (std::size_t i = answers.size(); i > 0; --i) {
            const auto& [asked, yes] = answers[i - 1];
            inside = yes ? ways_.either(asked, inside, ways_.given(old, {{asked, false}}))
                         : ways_.either(asked, ways_.given(old, {{asked, true}}), inside);
        }
        set(at, inside);
        for (auto& [key, live] : live_)
            if (std::any_of(answers.begin(), answers.end(),
                            [&, asked = live.asked](const auto& a) { return a.first == asked; }))
                live.depend.push_back(at);
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
    std::set<InstanceId> slots(live.depend.begin(), live.depend.end());
    for (const InstanceId at : slots) {
        if (at == alive_slot_) continue;
        const Way way = ways_.given(raw(at), path_);
        set(at, join_slot(at, ways_.where(ways_.given(way, yes), alive_yes),
                          ways_.where(ways_.given(way, no), alive_no), row, "ways-differ"));
    }
    set(alive_slot_, ways_.either_alive(alive_yes, alive_no));
}

void Machine::repeat(const Row& row, const Binding& binding) {
    // Places at the end equal those at the start, and debts only grow: a few rounds reach the fixpoint.
    constexpr int most_rounds = 70;
    for (int round = 0; round < most_rounds; ++round) {
        const std::size_t mark = log_.size();
        remembered({&row.body, binding.axis, binding.value}, [&] { walk_rows(row.body, binding, false); });
        std::map<InstanceId, Way> start;
        for (std::size_t i = log_.size(); i > mark; --i) start[log_[i - 1].first] = log_[i - 1].second;
        const Way alive_end = alive();
        bool grew = false;
        std::vector<std::pair<InstanceId, Way>> next;
        if (alive_end != Ways::ended) {
            for (const auto& [at, before] : start) {
                if (at == alive_slot_) continue;
                const Way from = ways_.given(before, path_);
                const Way end = ways_.where(ways_.given(state_[at.index()], path_), alive_end);
                const Way both = join_slot(at, from, end, row, "repeat-drifts");
                if (both == from) continue;
                // Only what the proof can see counts as growth.
                bool differs = false;
                std::vector<Standing> was;
                ways_.each(from, [&](const Standing& s, const Answers&) {
                    was.push_back(s);
                    return true;
                });
                std::size_t i = 0;
                ways_.each(both, [&](const Standing& s, const Answers&) {
                    if (i >= was.size() || !was[i].same_state(s)) differs = true;
                    ++i;
                    return !differs;
                });
                differs = differs || i != was.size();
                if (!differs) continue;
                grew = true;
                next.emplace_back(at, both);
            }
        }
        if (!grew) break;
        for (const auto& [at, before] : start) state_[at.index()] = before;
        log_.resize(mark);
        for (const auto& [at, way] : next) set(at, way);
    }
    if (row.otherwise.empty() || alive() == Ways::ended) return;
    const Branch failed = branch({}, [&] { walk_rows(row.otherwise, binding, false); });
    const Way alive_before = alive();
    Way alive_failed = alive_before;
    for (const auto& [at, way] : failed.after)
        if (at == alive_slot_) alive_failed = way;
    for (const auto& [at, way] : failed.after) {
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
        Moment now = moment_at(fit_.instances[i].item, InstanceId(i), row.step->source->span);
        now.row = &row;
        for (const Check* check : at_stop_) check->judge(now, *check);
    }
    set(alive_slot_, Ways::ended);
}

// -- Procedures and jobs ----------------------------------------------------------------------------------------------------------

void Machine::call(const Row& row, const Binding& binding) {
    if (!row.calls.known()) return;
    const source::Span at = row.targets.empty() ? row.step->source->span : row.targets.front().span;
    call_walk(row.calls, binding, at);
}

void Machine::call_walk(fitted::ProcedureIndex index, const Binding& binding, source::Span at) {
    const fitted::Procedure& procedure = fit_.procedures[index.index()];
    const Touched touched = touched_by(index, binding);
    remembered({&procedure, binding.axis, binding.value}, [&] {
        ends(procedure.starts_with, binding, touched, at, true);
        auto live = std::exchange(live_, {});
        walk(procedure, binding);
        live_ = std::move(live);
    });
}

// What a procedure touches: found by proving it alone, between its own contracts.
const Machine::Touched& Machine::touched_by(fitted::ProcedureIndex index, const Binding& binding) {
    const auto key = std::pair(index, binding);
    const auto known = touched_by_.find(key);
    if (known != touched_by_.end()) return known->second;
    touched_by_[key]; // a cycle was reported by linked/; here it ends
    const fitted::Procedure& procedure = fit_.procedures[index.index()];
    auto state = std::exchange(state_, all_at_rest());
    auto path = std::exchange(path_, {});
    auto log = std::exchange(log_, {});
    auto recorders = std::exchange(recorders_, {});
    auto touched = std::exchange(touched_, {});
    auto live = std::exchange(live_, {});
    enter(procedure.starts_with, binding, false);
    walk(procedure, binding);
    const Touched mine = touched_;
    ends(procedure.ends_with, binding, mine, procedure.source->source->id.span, false);
    state_ = std::move(state);
    path_ = std::move(path);
    log_ = std::move(log);
    recorders_ = std::move(recorders);
    touched_ = std::move(touched);
    live_ = std::move(live);
    return touched_by_[key] = mine;
}

void Machine::judge_end(InstanceId at, const linked::Entering* entering, source::Span where, bool repair) {
    const ItemId item = fit_.instances[at.index()].item;
    Moment now = moment_at(item, at, where);
    if (entering != nullptr) {
        now.contracted = true;
        now.any_place = !entering->has_place;
        now.wanted_place = entering->place;
        now.may_owe = entering->owes;
        if ((entering->owes & model::bit(Debt::bleed)) != 0) now.may_owe |= vent_bits;
        // What is off or loose owes its locker as a matter of course.
        if (entering->has_place && entering->place != 0)
            now.may_owe |= model::bit(Debt::locker) | model::bit(Debt::degrease);
        now.span = entering->span;
    }
    const std::size_t before = findings_.size();
    for (const Check* check : at_end_) check->judge(now, *check);
    if (findings_.size() == before) return;
    if (!repair) return;
    // Told once: what follows takes the promise as kept.
    Standing standing = at_rest(at);
    if (entering != nullptr && entering->has_place) standing.place = entering->place;
    set(at, ways_.of(standing));
}

// At a boundary: each item that the contract names is as it says, and each other that is touched is at rest.
void Machine::ends(const std::vector<linked::Entering>& contract, const Binding& binding, const Touched& touched,
                   source::Span at, bool repair) {
    if (alive() == Ways::ended) return;
    std::set<InstanceId> named;
    for (const linked::Entering& entering : contract) {
        if (!entering.item.known()) continue;
        for (const InstanceId instance : instances(entering.item, binding, nullptr)) {
            named.insert(instance);
            judge_end(instance, &entering, at, repair);
        }
    }
    for (const InstanceId instance : touched) {
        if (named.contains(instance)) continue;
        if (fit_.items[fit_.instances[instance.index()].item.index()].is.rests_anywhere) continue;
        judge_end(instance, nullptr, at, repair);
    }
}

void Machine::job() {
    for (const fitted::ProcedureIndex index : fit_.sequence)
        if (index.known()) touched_by(index, Binding{});
    state_ = all_at_rest();
    path_.clear();
    log_.clear();
    touched_.clear();
    const linked::Job* job = fit_.job.known() ? &linked_.jobs[fit_.job.index()] : nullptr;
    for (std::size_t i = 0; i < fit_.sequence.size(); ++i) {
        const fitted::ProcedureIndex index = fit_.sequence[i];
        if (!index.known()) continue;
        const source::Span at = job != nullptr && i < job->procedures.size()
                                    ? job->procedures[i].second
                                    : fit_.procedures[index.index()].source->source->id.span;
        call_walk(index, Binding{}, at);
        if (alive() == Ways::ended) return; // every way stops here
    }
    if (job == nullptr) return; // a single blank card ends as its contract says, which was proved alone
    const Touched touched = touched_;
    for (const InstanceId instance : touched) {
        if (fit_.items[fit_.instances[instance.index()].item.index()].is.rests_anywhere) continue;
        judge_end(instance, nullptr, job->source->id.span, false);
    }
}

// -- How each card leaves what it touches -------------------------------------------------------------------------------------------

class Summary {
public:
    Summary(const fitted::Fit& fit) : fit_(fit) {}

    std::vector<Left> of(fitted::ProcedureIndex index) {
        procedure(index);
        std::vector<Left> all;
        for (auto& [item, left] : left_) all.push_back(std::move(left));
        return all;
    }

private:
    void procedure(fitted::ProcedureIndex index) {
        if (!index.known() || !seen_.insert(index).second) return;
        const fitted::Procedure& procedure = fit_.procedures[index.index()];
        for (const fitted::Section& section : procedure.sections) rows(section.rows);
        for (const linked::Entering& entering : procedure.ends_with) {
            const auto found = left_.find(entering.item);
            if (found == left_.end()) continue;
            if (entering.has_place) found->second.place = entering.place;
            found->second.owes |= entering.owes;
        }
    }

    void rows(const fitted::Rows& all) {
        for (const Row& row : all) {
            if (row.kind == fitted::RowKind::verb) verb(row);
            for (const fitted::Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise}) rows(*inner);
        }
    }

    Left& at(ItemId item) {
        Left& left = left_[item];
        if (left.item.known()) return left;
        left.item = item;
        const fitted::Item& is = fit_.items[item.index()];
        for (std::uint32_t i = 0; i < is.instances; ++i) {
            const AxisValue value = fit_.instances[is.first_instance + i].value;
            if (value != no_value) left.values.push_back(value);
        }
        return left;
    }

    void verb(const Row& row) {
        if (row.verb == model::VerbName::do_procedure) return procedure(row.calls);
        for (const fitted::Target& target : row.targets) {
            if (!target.item.known() || !fit_.items[target.item.index()].present) continue;
            const linked::Item& item = fit_.items[target.item.index()].is;
            Left& left = at(target.item);
            for (const model::Deed& deed : model::verb(row.verb).deeds) {
                if (!takes(deed.on, item.sort)) continue;
                if (deed.to != model::Leaves::same) left.moved = true;
                if (deed.to == model::Leaves::rest && item.sort == linked::Sort::fastener) left.torqued = true;
                for (const Effect effect : deed.effects) {
                    switch (effect) {
                    case Effect::pay_fill:
                        left.paid |= model::bit(Debt::fill);
                        break;
                    case Effect::pay_prime:
                        left.paid |= model::bit(Debt::prime);
                        break;
                    case Effect::pay_circulate:
                        left.paid |= model::bit(Debt::circulate);
                        break;
                    case Effect::pay_level:
                        left.paid |= model::bit(Debt::level);
                        break;
                    case Effect::pay_leak_check:
                        left.paid |= model::bit(Debt::leak_check);
                        break;
                    case Effect::pay_adjust:
                        left.paid |= model::bit(Debt::adjust);
                        break;
                    case Effect::pay_bleed:
                        if (item.vents.known()) at(item.vents).paid |= model::bit(Debt::bleed);
                        break;
                    case Effect::pay_locker:
                        if (row.step->consumable == item.threadlock) left.locker = item.threadlock;
                        break;
                    default:
                        break;
                    }
                }
                break;
            }
        }
    }

    const fitted::Fit& fit_;
    std::set<fitted::ProcedureIndex> seen_;
    std::map<ItemId, Left> left_;
};

} // namespace

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
    if (messages.any_error()) return std::nullopt;
    Proved proved(fitted, fit);
    for (const fitted::ProcedureIndex index : fitted.fits[fit].sequence)
        proved.cards_.push_back(Summary(fitted.fits[fit]).of(index));
    return proved;
}

} // namespace benchleaf::proof
