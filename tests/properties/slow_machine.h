// A second machine that proves procedures, slow and obvious, to hold against the one in src/proof. It shares no code with that: it is
// written from the prose of the design and of docs/checks, and takes from the program the fitted value and the words of the verbs only.
// Each way through a procedure is walked by itself, with one concrete state of all things; a question makes two ways of each, a repeat
// is unrolled to its `at-most` rounds, a `stop` ends a way, and `if-answered` looks at what the way has answered. (Ways that stand alike
// in everything are twins, and one of them is let go: nothing that can happen to the one cannot happen to the other.)
//
//     const slow::Verdict verdict = slow::Machine(fit, linked).verdict();
//
// **One mistake, one message.** The fast machine takes what it has told for a hole and steps over it later; which later findings vanish so
// depends on what it told first, of ways that it joins and this one does not. So this machine makes no holes. It goes on with things as
// they are and marks what was told: the place, or the debt, that a finding puts the fault on. A finding whose fault was not told before
// is `sure`: the fast machine has to find it, too. A finding whose fault was told already is only `possible`: the fast machine may find
// it or step over it. What is not even possible it must not find. The first finding on every way is sure, so the two always agree whether
// there is any.
#pragma once

#include "fitted/fitted.h"
#include "model/verbs.h"
#include "units/quantity.h"

#include <algorithm>
#include <compare>
#include <functional>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

namespace benchleaf::slow {

using fitted::AxisValue;
using fitted::InstanceId;
using fitted::no_value;
using fitted::Row;
using fitted::RowKind;
using fitted::Rows;
using linked::ItemId;
using linked::Place;
using linked::Sort;
using linked::StepId;
using model::VerbName;
using source::Span;

// What can be owed, a bit each; and one more for each vent of a circuit at which it has to be bled, or each limit of an adjustment that
// has yet to prove it.
enum Owed : std::uint64_t {
    locker = 1,
    degrease = 2,
    fill = 4,
    prime = 8,
    circulate = 16,
    level = 32,
    leak_check = 64,
    adjust = 128,
    prove = 256,
    renewal = 512,         // others of its set are new, and it is not
    locker_has_set = 1024, // no debt: the thread-locker on it is hard
    is_new = 2048,         // no debt: it was renewed
    unsettled = 4096,      // no debt: its fluid is not yet where its level is true
    lubricant = 8192,
    first_vent = 16384
};
inline constexpr std::uint64_t all_vents_bits = ~(std::uint64_t{first_vent} - 1);
inline constexpr std::uint64_t no_vent = std::uint64_t{1} << 63; // to be bled, and there is nothing to bleed it at

// How one thing stands on one way.
struct Thing {
    Place place = 0;
    bool known = true;     // not where ways disagreed and that was said, nor where the vehicle may rest anyhow
    bool told = false;     // its place was put the fault on
    bool anywhere = false; // a setting that came in anyhow, and nobody has set it since
    bool early = false;    // an adjustment that was read before it was made and all was tight
    std::uint64_t owes = 0;
    std::uint64_t told_owes = 0;
    const Row* placed = nullptr; // the step that put it there
    const Row* indebted = nullptr;
    auto operator<=>(const Thing&) const = default;

    bool is(Place where) const { return known && place == where; }
    bool away() const { return known && place != 0; }
    std::uint64_t debts() const { return owes & ~std::uint64_t{locker_has_set | is_new | unsettled}; }
    std::uint64_t unfinished() const { return debts() & ~std::uint64_t{renewal}; } // the set is asked after at the end
};

// What a way has answered: which question, on which side; how deep in lists it was asked, which says how long it is known.
using Question = std::pair<StepId, AxisValue>;
struct Answer {
    bool yes = false;
    std::size_t level = 0;
    const Row* asked = nullptr;
    auto operator<=>(const Answer&) const = default;
};
using Answers = std::map<Question, Answer>;

struct Way {
    std::vector<Thing> things; // by instance
    Answers answers;
    std::vector<Answers> callers; // of the procedures that called this one
    auto operator<=>(const Way&) const = default;
};
using Ways = std::vector<Way>;

// What is found. `other` is the second thing that the message names, if it names one.
struct Finding {
    std::string check;
    std::string subject;
    std::string other;
    std::string side;
    auto operator<=>(const Finding&) const = default;
};
struct At {
    Span span;
    bool operator<(const At& o) const {
        return std::tuple(span.file, span.begin, span.end) < std::tuple(o.span.file, o.span.begin, o.span.end);
    }
};
struct Verdict {
    // What must be found, and at one of which places. (A thing that is left off on two ways, taken off by two steps, is told at one.)
    std::map<std::pair<Finding, std::vector<At>>, bool> sure;
    std::set<std::pair<Finding, At>> possible;
    bool too_many_ways = false;
    bool unclear =
        false; // a repeat whose first round begins otherwise, with a fault: what was told decides whether that is allowed
    std::size_t ways = 0; // walked at the most at once
};

struct Binding {
    linked::AxisId axis;
    AxisValue value = no_value;
    auto operator<=>(const Binding&) const = default;
};

class Machine {
public:
    static constexpr std::size_t most_ways = 600;

    Machine(const fitted::Fit& fit, const linked::Linked& linked) : fit_(fit), linked_(linked) {}

    Verdict verdict() {
        for (std::size_t i = 0; i < fit_.procedures.size(); ++i) alone(fitted::ProcedureIndex(i), {});
        say_unreached();
        return std::move(verdict_);
    }

    // How a procedure by itself leaves things, where all its ways leave them alike.
    std::optional<Way> left_by(std::size_t procedure) {
        last_.clear();
        alone_.clear();
        alone(fitted::ProcedureIndex(procedure), {});
        if (last_.size() != 1 || verdict_.too_many_ways) return std::nullopt;
        return last_.front();
    }

    // A bit for each reading that proves an adjustment: a limit on each side of what it is of.
    std::uint64_t limit_bits(const linked::Item& adjustment, linked::LimitId limit,
                             const std::function<bool(InstanceId)>& wanted) const {
        std::uint64_t bit = first_vent;
        std::uint64_t bits = 0;
        for (const linked::LimitId each : adjustment.proved_by)
            for (const ItemId what : linked_.limits[each.index()].of)
                for (const InstanceId one : all(what)) {
                    if (each == limit && wanted(one)) bits |= bit;
                    bit <<= 1;
                }
        return bits;
    }
    // The readings beside it.
    std::uint64_t to_prove(ItemId adjustment, InstanceId at) const {
        std::uint64_t debts = 0;
        for (const linked::LimitId limit : of(adjustment).is.proved_by)
            for (const ItemId what : linked_.limits[limit.index()].of) {
                const std::vector<InstanceId> near = beside_if(what, at);
                debts |= limit_bits(of(adjustment).is, limit, [&](InstanceId one) {
                    return std::find(near.begin(), near.end(), one) != near.end();
                });
            }
        return debts == 0 ? 0 : debts | prove;
    }
    std::uint64_t vent_bit(ItemId circuit, InstanceId vent) const {
        std::uint64_t bit = first_vent;
        for (const ItemId other : of(circuit).is.vented_by)
            for (const InstanceId each : all(other)) {
                if (each == vent) return bit;
                bit <<= 1;
            }
        return 0;
    }

private:
    // -- Things and their sides ------------------------------------------------------------------------------------------------
    const fitted::Item& of(ItemId item) const { return fit_.items[item.index()]; }
    const linked::Item& item_of(InstanceId at) const { return of(fit_.instances[at.index()].item).is; }
    ItemId id_of(InstanceId at) const { return fit_.instances[at.index()].item; }
    bool there(ItemId item) const { return item.known() && of(item).present; }
    static Place off(const linked::Item& item) { return static_cast<Place>(item.places.size() - 1); }
    static bool fastens(const linked::Item& item) { return item.sort == Sort::fastener || item.sort == Sort::clip; }

    std::vector<InstanceId> all(ItemId item) const {
        std::vector<InstanceId> found;
        if (there(item))
            for (std::uint32_t i = 0; i < of(item).instances; ++i) found.emplace_back(of(item).first_instance + i);
        return found;
    }
    // Those of another item that stand beside this one: on its side where both have sides, else all.
    std::vector<InstanceId> beside(ItemId other, InstanceId at) const {
        std::vector<InstanceId> found = all(other);
        const AxisValue side = fit_.instances[at.index()].value;
        if (side == no_value || of(other).is.axis != item_of(at).axis) return found;
        std::erase_if(found, [&](InstanceId each) { return fit_.instances[each.index()].value != side; });
        return found;
    }
    std::vector<InstanceId> bound(ItemId item, const Binding& binding, const std::vector<AxisValue>& only) const {
        std::vector<InstanceId> found = all(item);
        std::erase_if(found, [&](InstanceId each) {
            const AxisValue side = fit_.instances[each.index()].value;
            if (side == no_value) return false;
            if (binding.value != no_value && of(item).is.axis == binding.axis && side != binding.value) return true;
            return !only.empty() && std::find(only.begin(), only.end(), side) == only.end();
        });
        return found;
    }
    std::string side_of(InstanceId at) const {
        const AxisValue value = fit_.instances[at.index()].value;
        if (value == no_value) return {};
        return fit_.axes[item_of(at).axis.index()].values[value];
    }

    // -- Findings --------------------------------------------------------------------------------------------------------------
    struct Fault {
        Finding found;
        Span at;
        bool sure = true;
        InstanceId subject; // what the step was done to
        // A finding of a higher rank goes without saying where one of a lower rank is told of the same subject (and matter).
        int rank = 0;
        std::string matter;
        std::vector<std::pair<InstanceId, std::uint64_t>> on; // where the fault lies: a place (no bits), or debts
    };
    using Faults = std::vector<Fault>;

    void record(const Fault& fault) {
        found_here_.insert({fault.found, At{fault.at}});
        verdict_.possible.insert({fault.found, At{fault.at}});
        if (fault.sure) verdict_.sure[{fault.found, {At{fault.at}}}] = true;
    }

    // After one thing was judged on every way: what is told now is told on every way.
    void settle(Faults& faults, Ways& ways) {
        for (Fault& fault : faults)
            for (const Fault& other : faults)
                if (other.subject == fault.subject && other.rank < fault.rank &&
                    (other.rank < 0 || other.matter == fault.matter))
                    fault.sure = false;
        // One thing that stands wrong fails a check once in a step, however many others need it right.
        for (std::size_t i = 0; i < faults.size(); ++i)
            for (std::size_t j = 0; j < i; ++j) {
                const bool same = faults[j].found.check == faults[i].found.check && faults[j].on == faults[i].on;
                const bool place = !faults[i].on.empty() && faults[i].on.front().second == 0;
                const bool another = faults[j].found.subject != faults[i].found.subject ||
                                     faults[j].found.other != faults[i].found.other ||
                                     faults[j].matter != faults[i].matter;
                if (same && place && another) faults[i].sure = false;
            }
        for (const Fault& fault : faults) {
            record(fault);
            for (Way& way : ways)
                for (const auto& [at, debts] : fault.on) {
                    if (debts == 0)
                        way.things[at.index()].told = true;
                    else
                        way.things[at.index()].told_owes |= debts;
                }
            // What one side sets, and the other finds set, is told with whatever else the section sets so.
            const bool set_by_the_other_side = std::any_of(fault.on.begin(), fault.on.end(), [&](const auto& each) {
                return each.second == 0 && set_here_.contains(each.first);
            });
            if (set_by_the_other_side)
                for (Way& way : ways)
                    for (const InstanceId each : set_here_) way.things[each.index()].told = true;
        }
    }

    // What has no side and is set in rows that are worked side by side.
    void gather_set(const Rows& rows, std::set<InstanceId>& all) const {
        for (const Row& row : rows) {
            if (row.kind == RowKind::verb && row.verb == VerbName::set)
                for (const fitted::Target& target : row.targets)
                    if (target.item.known() && !of(target.item).is.axis.known())
                        for (std::uint32_t i = 0; i < of(target.item).instances; ++i)
                            all.insert(InstanceId(of(target.item).first_instance + i));
            if (row.calls.known())
                for (const fitted::Section& section : fit_.procedures[row.calls.index()].sections)
                    gather_set(section.rows, all);
            for (const Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise}) gather_set(*inner, all);
        }
    }

    // -- What each verb demands ------------------------------------------------------------------------------------------------
    struct Deed { // one thing that a step is done to
        const Row& row;
        ItemId item;
        Span span;
        Place to = 0;
        linked::ConsumableId consumable;
        std::vector<InstanceId> read{}; // of measure
        std::vector<InstanceId> all{};  // that the step is done to
    };

    class Judge {
    public:
        Judge(const Machine& machine, const Way& way, const Deed& deed, InstanceId at, Faults& faults)
            : m_(machine), way_(way), deed_(deed), at_(at), item_(machine.item_of(at)), faults_(faults) {}

        void demands() {
            switch (deed_.row.verb) {
            case VerbName::slacken:
                if (!starts_from({0, 1})) return;
                turned();
                return;
            case VerbName::remove:
                if (item_.sort == Sort::part) {
                    if (!starts_from_not_off()) return;
                    reach();
                    conditions();
                    unlocked();
                    holders_out("still-held", item_.held_by);
                    return;
                }
                if (!starts_from_not_off()) return;
                turned();
                if (item_.sort == Sort::fastener) from_tight();
                last_hold();
                return;
            case VerbName::fit:
                if (!starts_from({off(item_)})) return;
                reach(true);
                conditions();
                unlocked();
                if (item_.sort == Sort::part)
                    goes_on(item_.held_by);
                else
                    goes_in();
                return;
            case VerbName::snug:
                if (!starts_from({2})) return;
                turned();
                pinches();
                return;
            case VerbName::torque:
                if (!starts_from({1, 2})) {
                    // In a later round the other machine may know its place no more, and tell what it owed in the first.
                    unsure_ = true;
                    if (m_.repeats_ > 0 && (thing().owes & locker) != 0)
                        debt("no-locker", at_, locker | degrease, locker);
                    return;
                }
                turned();
                pinches();
                locked_tight();
                if ((thing().owes & locker) != 0) debt("no-locker", at_, locker | degrease, locker);
                return;
            case VerbName::recheck:
                if (!starts_from({0})) return;
                turned();
                if ((thing().owes & locker_has_set) != 0)
                    add("recheck-after-set", {}, true, (thing().told_owes & locker_has_set) == 0);
                return;
            case VerbName::mark:
                if (!starts_from({0})) return;
                reach();
                conditions();
                return;
            case VerbName::renew:
                starts_from({off(item_)});
                return;
            case VerbName::move:
                return move();
            case VerbName::set:
                return set();
            case VerbName::open:
                return conditions();
            case VerbName::press_back:
            case VerbName::clean:
            case VerbName::inspect:
                reach();
                return conditions();
            case VerbName::apply:
                reach();
                conditions();
                if (deed_.consumable.known() && deed_.consumable == item_.threadlock && (thing().owes & locker) != 0 &&
                    thing().known && thing().place != off(item_))
                    add("locker-too-late", {}, true, (thing().told_owes & locker) == 0 && !thing().told);
                if (deed_.consumable.known() && item_.threadlock.known() && deed_.consumable != item_.threadlock &&
                    m_.greasy(deed_.consumable) && thing().is(off(item_)) &&
                    ((thing().owes & degrease) == 0 || (thing().told_owes & degrease) != 0))
                    add("lubricant-under-locker", {}, true, !thing().told && (thing().owes & degrease) == 0,
                        {{at_, locker}});
                if (deed_.consumable.known() && deed_.consumable == item_.threadlock && (thing().owes & degrease) != 0)
                    debt("locker-on-dirty-thread", at_, degrease, degrease);
                return;
            case VerbName::measure:
                if (item_.sort == Sort::adjustment) {
                    conditions();
                    return its_parts_are_on();
                }
                reach();
                return conditions();
            case VerbName::adjust:
                reach();
                conditions();
                its_parts_are_on();
                for (const ItemId before : item_.after) {
                    if (!m_.there(before) || m_.of(before).is.sort != Sort::adjustment) continue;
                    for (const InstanceId each : m_.beside(before, at_))
                        if ((at(each).owes & adjust) != 0)
                            add("proof-order", before, true, (at(each).told_owes & adjust) == 0, {{each, adjust}});
                }
                return;
            case VerbName::fill:
            case VerbName::prime:
            case VerbName::circulate:
            case VerbName::level:
            case VerbName::leak_check:
                return proof_of_circuit();
            case VerbName::bleed:
                if (!starts_from_not_off()) return;
                turned();
                if (!m_.there(item_.vents)) return;
                openers_tight(item_.vents);
                other_vents_shut(item_.vents);
                order(item_.vents, 1);
                moved_on_and_held(item_.vents);
                return;
            case VerbName::wait:
            case VerbName::record:
            case VerbName::do_procedure:
                return;
            }
        }

    private:
        const Thing& at(InstanceId each) const { return way_.things[each.index()]; }
        const Thing& thing() const { return at(at_); }
        // An unknown place is stepped over: it counts as the right one.
        bool maybe_in(InstanceId each, Place where) const { return !at(each).known || at(each).place == where; }

        void add(const char* check, ItemId other, bool sided, bool sure,
                 std::vector<std::pair<InstanceId, std::uint64_t>> on = {}, int rank = 0, std::string matter = {}) {
            Fault fault;
            fault.found = {check, item_.name, other.known() ? m_.of(other).is.name : std::string(),
                           sided ? m_.side_of(at_) : std::string()};
            fault.at = deed_.span;
            fault.sure = sure && !unsure_;
            fault.subject = at_;
            fault.rank = rank;
            fault.matter = std::move(matter);
            fault.on = std::move(on);
            faults_.push_back(std::move(fault));
        }
        void place(const char* check, ItemId other, InstanceId each, bool sided = true, bool also_sure = true) {
            add(check, other, sided, !at(each).told && also_sure, {{each, 0}});
        }
        void debt(const char* check, InstanceId each, std::uint64_t told, std::uint64_t which) {
            add(check, {}, true, (at(each).owes & which & ~at(each).told_owes) != 0, {{each, told}});
        }

        // What is not where the verb starts from fails other demands for the same reason. (If its place was told before, the other
        // machine may not know it any more, and judge those.)
        bool starts_from(std::initializer_list<Place> places) {
            if (!thing().known || std::find(places.begin(), places.end(), thing().place) != places.end()) return true;
            add("wrong-place", {}, true, !thing().told, {{at_, 0}}, -1);
            unsure_ = thing().told;
            return unsure_;
        }
        bool starts_from_not_off() {
            if (!thing().is(off(item_))) return true;
            add("wrong-place", {}, true, !thing().told, {{at_, 0}}, -1);
            unsure_ = thing().told;
            return unsure_;
        }

        // All that it is behind or inside is away from rest. What is off lies on the bench and can be reached, unless it is put back.
        void reach(bool put_back = false) {
            const bool can_be_off = item_.sort == Sort::part || fastens(item_);
            // Where it is must be known for that.
            const bool lies_there = !thing().known || (!put_back && thing().place == off(item_));
            if (can_be_off && lies_there) return;
            const bool surely = !can_be_off || !thing().told;
            std::vector<ItemId> covers = item_.behind;
            if (item_.inside.known()) covers.push_back(item_.inside);
            for (const ItemId cover : covers)
                for (const InstanceId each : m_.beside_if(cover, at_))
                    if (at(each).is(0)) place("out-of-reach", cover, each, true, surely);
        }
        void conditions() {
            for (const linked::Need& need : item_.needs) asked("needs-unmet", need, false);
            for (const linked::While& each : item_.whiles)
                if (each.verb == deed_.row.verb)
                    for (const linked::Need& need : each.needs) asked("outside-while", need, true);
        }
        void asked(const char* check, const linked::Need& need, bool sided, bool surely = true) {
            for (const InstanceId each : m_.beside_if(need.item, at_))
                if (at(each).anywhere || !maybe_in(each, need.place)) place(check, need.item, each, sided, surely);
        }
        // What locks it is off.
        void unlocked() {
            if (!thing().known) return; // as where its lock was told to be in too early
            for (const ItemId lock : item_.locked_by)
                for (const InstanceId each : m_.beside_if(lock, at_)) {
                    // A pin locks while it is in; a bolt or nut, while it is tight or snug.
                    const Place frees = m_.of(lock).is.sort == Sort::fastener ? 2 : off(m_.of(lock).is);
                    if (at(each).known && at(each).place < frees)
                        place("still-locked", lock, each, true, !thing().told);
                }
        }
        void turned() {
            reach();
            conditions();
            unlocked();
        }
        // From tight it is slackened on the way, so what it says of slacken holds, too.
        void from_tight() {
            if (!thing().known || thing().place > 1) return;
            for (const linked::While& each : item_.whiles)
                if (each.verb == VerbName::slacken)
                    for (const linked::Need& need : each.needs)
                        asked("slackened-outside-while", need, true, !thing().told);
        }
        // A pinch bolt need only be loose.
        void holders_out(const char* check, const std::vector<ItemId>& holders, bool surely = true) {
            for (const ItemId holder : holders)
                for (const InstanceId each : m_.beside_if(holder, at_)) {
                    const bool slack = is_pinch(m_.of(holder).is) && maybe_in(each, 2);
                    if (!maybe_in(each, off(m_.of(holder).is)) && !slack) place(check, holder, each, true, surely);
                }
        }
        static bool is_pinch(const linked::Item& item) {
            return item.fastener.duty && item.fastener.duty->value == model::Duty::pinch;
        }
        // Not tightened on an empty slot.
        void pinches() {
            if (is_pinch(item_)) holds_its_parts("pinches-nothing");
        }
        // A part that was moved keeps the holders that its place does not list.
        void last_hold() {
            for (const ItemId part : item_.holds) {
                if (!m_.there(part)) continue;
                const linked::Item& is = m_.of(part).is;
                for (const InstanceId each : m_.beside(part, at_)) {
                    const Thing& held = at(each);
                    if (!held.known || held.place == 0 || held.place == off(is)) continue;
                    const std::vector<ItemId>& listed = is.places[held.place].frees;
                    if (std::find(listed.begin(), listed.end(), deed_.item) != listed.end()) continue;
                    // The message names the part first.
                    place("hangs-on-hose", part, each);
                    std::swap(faults_.back().found.subject, faults_.back().found.other);
                }
            }
        }
        void nothing_shut_in() {
            for (const ItemId behind : item_.covers) {
                if (!m_.there(behind) || m_.of(behind).is.rests_anywhere) continue;
                for (const InstanceId each : m_.beside(behind, at_)) {
                    const Thing& shut = at(each);
                    if (!shut.known) continue;
                    if (shut.place != 0)
                        place("shut-in", behind, each);
                    else if (shut.unfinished() != 0)
                        add("shut-in", behind, true, (shut.unfinished() & ~shut.told_owes) != 0,
                            {{each, shut.unfinished()}});
                    // (Its place told, the other machine cannot know whether it is finished, and says nothing.)
                    if (shut.place == 0 && shut.unfinished() != 0 && shut.told) faults_.back().sure = false;
                }
            }
        }
        void goes_on(const std::vector<ItemId>& holders) {
            if (thing().known) holders_out("holder-first", holders, !thing().told);
            nothing_shut_in();
        }
        void goes_in() {
            if (!is_pinch(item_)) holds_its_parts("holds-nothing");
            if (item_.sort == Sort::clip) locked_tight();
        }
        void holds_its_parts(const char* check) {
            for (const ItemId part : item_.holds) {
                if (!m_.there(part)) continue;
                const linked::Item& is = m_.of(part).is;
                for (const InstanceId each : m_.beside(part, at_)) {
                    const Thing& held = at(each);
                    if (!held.away()) continue;
                    const std::vector<ItemId>& listed = is.places[held.place].frees;
                    if (held.place == off(is) || std::find(listed.begin(), listed.end(), deed_.item) != listed.end())
                        place(check, part, each);
                }
            }
        }
        // Of an adjustment: the parts that disturb it; what its own `while` asks of them was told there.
        void its_parts_are_on() {
            for (const ItemId part : item_.disturbed_by) {
                if (!m_.there(part) || m_.of(part).is.sort != Sort::part) continue;
                const bool asked =
                    std::any_of(item_.whiles.begin(), item_.whiles.end(), [&](const linked::While& each) {
                        return each.verb == deed_.row.verb &&
                               std::any_of(each.needs.begin(), each.needs.end(),
                                           [&](const linked::Need& need) { return need.item == part; });
                    });
                if (asked) continue;
                for (const InstanceId each : m_.beside(part, at_))
                    if (at(each).is(off(m_.of(part).is))) place("set-while-off", part, each);
            }
        }
        void locked_tight() {
            for (const InstanceId each : m_.beside_if(item_.locks, at_))
                if (at(each).away()) place("locked-loose", item_.locks, each);
        }
        void move() {
            if (deed_.to == 0) { // back on
                if (thing().known && (thing().place == 0 || thing().place == off(item_))) {
                    add("wrong-place", {}, true, !thing().told, {{at_, 0}}, -1);
                    unsure_ = thing().told;
                    if (!unsure_) return;
                }
                reach();
                conditions();
                unlocked();
                if (thing().known && thing().place != 0) {
                    if (thing().place == off(item_))
                        goes_on(item_.held_by);
                    else
                        goes_on(item_.places[thing().place].frees);
                } else {
                    nothing_shut_in();
                }
                return;
            }
            if (!starts_from_not_off()) return;
            reach();
            conditions();
            unlocked();
            const std::vector<ItemId>& listed = item_.places[deed_.to].frees;
            holders_out("place-still-held", listed);
            // Its other holders are at least loose, and stay so.
            for (const ItemId holder : item_.held_by) {
                if (std::find(listed.begin(), listed.end(), holder) != listed.end()) continue;
                for (const InstanceId each : m_.beside_if(holder, at_))
                    if (at(each).is(off(m_.of(holder).is))) place("hangs-on-hose", holder, each);
            }
        }
        void set() {
            conditions();
            const int step = int{thing().place} - int{deed_.to};
            if (thing().known && step != 1 && step != -1) add("skipped-rung", {}, true, !thing().told, {{at_, 0}});
            oil_is_in();
            // Leaving a state that items need: each of them is at rest, and held by at least snug holders.
            if (!thing().known || thing().place == deed_.to) return;
            for (const ItemId user : item_.needed_by) {
                if (!m_.there(user)) continue;
                for (const linked::Need& need : m_.of(user).is.needs) {
                    if (need.item != deed_.item || need.place != thing().place) continue;
                    bool away = false;
                    for (const InstanceId each : m_.beside(user, at_)) {
                        if (!at(each).away()) continue;
                        add("still-needed", user, false, !at(each).told && !thing().told, {{each, 0}}, 0,
                            m_.of(user).is.name);
                        away = away || !at(each).told;
                    }
                    if (away) continue;
                    for (const ItemId holder : m_.of(user).is.held_by)
                        for (const InstanceId each : m_.beside_if(holder, at_))
                            if (at(each).known && at(each).place > 1)
                                add("still-needed", holder, false, !at(each).told && !thing().told, {{each, 0}}, 1,
                                    m_.of(user).is.name);
                }
            }
        }

        // No engine is started into the state in which its oil or water goes round before it is filled.
        void oil_is_in() {
            for (std::size_t i = 0; i < m_.fit_.items.size(); ++i) {
                const linked::Item& circuit = m_.fit_.items[i].is;
                const auto& sort = circuit.circuit_of.sort;
                if (!m_.there(ItemId(i)) || !sort || sort->value == model::CircuitSort::fuel) continue;
                bool runs = false;
                for (const linked::While& each : circuit.whiles)
                    for (const linked::Need& need : each.needs)
                        runs = runs ||
                               (each.verb == VerbName::circulate && need.item == deed_.item && need.place == deed_.to);
                if (!runs) continue;
                for (const InstanceId each : m_.beside(ItemId(i), at_))
                    if ((at(each).owes & fill) != 0) {
                        add("run-dry", ItemId(i), true, (at(each).told_owes & fill) == 0);
                        break;
                    }
            }
        }

        // Circuits. The proofs in their order, and what each sort owes, are those of the design's table.
        void openers_tight(ItemId circuit) {
            for (const ItemId opener : m_.of(circuit).is.openers)
                if (opener != deed_.item && !wanted_open(item_, opener) && !wanted_open(m_.of(circuit).is, opener) &&
                    !(flows_over(circuit) && looked_in(m_.of(circuit).is, opener)))
                    not_tight("openers-loose", circuit, opener);
        }
        // It is filled, or its level read, with the hole open by which either is done.
        bool flows_over(ItemId circuit) const {
            return !m_.bled(circuit) && (deed_.row.verb == VerbName::fill || deed_.row.verb == VerbName::level);
        }
        // It is filled through its cap: the circuit's own `while`, or the vent's, says so.
        bool wanted_open(const linked::Item& who, ItemId opener) const {
            for (const linked::While& each : who.whiles)
                if (each.verb == deed_.row.verb)
                    for (const linked::Need& need : each.needs)
                        if (need.item == opener && need.place != 0) return true;
            return false;
        }
        void vents_tight(ItemId circuit) {
            for (const ItemId vent : m_.of(circuit).is.vented_by)
                if (m_.there(vent) && m_.of(vent).is.opens != circuit) not_tight("vents-loose", circuit, vent);
        }
        // What is pumped into a brake runs out at a vent that is open, or draws air in there.
        void other_vents_shut(ItemId circuit) {
            const linked::Item& is = m_.of(circuit).is;
            if (!m_.bled(circuit)) return;
            for (const ItemId vent : is.vented_by) {
                if (!m_.there(vent) || (vent != deed_.item && m_.of(vent).is.opens == circuit)) continue;
                if (wanted_open(item_, vent) || wanted_open(is, vent)) continue;
                for (const InstanceId each : along(circuit, vent)) {
                    if (std::find(deed_.all.begin(), deed_.all.end(), each) != deed_.all.end()) {
                        // Opened and closed one by one, unless all had been slackened: by which step, the other machine may not know.
                        if (each != at_ && at(each).away() && deed_.row.verb == VerbName::bleed &&
                            at(each).placed != nullptr && at(each).placed->verb != VerbName::bleed)
                            add("other-vent-open", {}, true, false);
                        continue;
                    }
                    if (at(each).away()) add("other-vent-open", vent, true, !at(each).told);
                }
            }
        }
        // What belongs to the same circuit: where there is one on each side, that of this side.
        std::vector<InstanceId> along(ItemId circuit, ItemId other) const {
            if (!m_.there(other)) return {};
            return m_.of(circuit).is.axis.known() && m_.of(circuit).is.axis == item_.axis ? m_.beside(other, at_)
                                                                                          : m_.all(other);
        }
        void not_tight(const char* check, ItemId circuit, ItemId fastener) {
            for (const InstanceId each : along(circuit, fastener)) {
                if (!at(each).away()) continue;
                place(check, fastener, each, false);
                faults_.back().found.subject = m_.of(circuit).is.name;
            }
        }
        void order(ItemId circuit, int of_paying) {
            for (const auto& [rank, debts] : proofs_of(m_.of(circuit).is)) {
                if (rank >= of_paying) continue;
                for (const InstanceId each : m_.beside(circuit, at_)) {
                    const std::uint64_t owed = at(each).owes & debts;
                    if (owed == 0) continue;
                    add("proof-order", {}, false, (owed & ~at(each).told_owes) != 0, {{each, owed}});
                    faults_.back().found.subject = m_.of(circuit).is.name;
                }
            }
        }
        void proof_of_circuit() {
            conditions();
            openers_tight(deed_.item);
            if (deed_.row.verb == VerbName::fill)
                other_vents_shut(deed_.item);
            else
                vents_tight(deed_.item);
            const std::uint64_t pays = paid_by(deed_.row.verb);
            bool of_its_sort = false;
            for (const auto& [rank, debts] : proofs_of(item_))
                if ((debts & pays) != 0) {
                    of_its_sort = true;
                    order(deed_.item, rank);
                }
            // A gearbox is turned with its oil in, though nobody asks for the turning.
            if (!of_its_sort)
                for (const auto& [rank, debts] : proofs_of(item_))
                    if ((debts & fill) != 0) order(deed_.item, rank + 1);
            if (deed_.row.verb == VerbName::prime) moved_at_rest();
            // Behind what is read out of its order, that it was read too soon goes without saying.
            if (deed_.row.verb == VerbName::level && (thing().owes & unsettled) != 0)
                add("level-too-early", {}, true, (thing().told_owes & unsettled) == 0, {{at_, unsettled}}, 1);
        }
        // Of what it moves: everything that is on, on every side, and all that it is inside of, with its holders tight. What is told of
        // a part goes for its holders, and for what it sits in.
        void moved_at_rest() {
            for (const ItemId moved : item_.moves) {
                int rank = 0;
                bool done = false;
                for (ItemId part = moved; !done && m_.there(part); part = m_.of(part).is.inside) {
                    done = open_at("primed-open", part, m_.of(moved).is.name, rank++) || done;
                    if (done) break;
                    for (const ItemId holder : m_.of(part).is.held_by)
                        if (m_.there(holder)) done = open_at("primed-open", holder, m_.of(moved).is.name, rank) || done;
                    ++rank;
                }
            }
        }
        bool open_at(const char* check, ItemId part, const std::string& matter, int rank) {
            bool surely = false;
            for (const InstanceId each : along(item_.sort == Sort::circuit ? deed_.item : item_.vents, part)) {
                if (!at(each).away()) continue;
                add(check, part, false, !at(each).told, {{each, 0}}, rank, matter);
                surely = surely || !at(each).told;
            }
            return surely;
        }
        void moved_on_and_held(ItemId circuit) {
            for (const ItemId part : m_.of(circuit).is.moves) {
                if (!m_.there(part)) continue;
                const std::size_t before = faults_.size();
                const std::string matter = m_.of(part).is.name;
                if (!open_at("bled-open", part, matter, 0))
                    for (const ItemId holder : m_.of(part).is.held_by)
                        for (const InstanceId each : along(circuit, holder))
                            if (at(each).is(off(m_.of(holder).is)))
                                add("bled-open", holder, false, !at(each).told, {{each, 0}}, 1, matter);
                for (std::size_t i = before; i < faults_.size(); ++i) faults_[i].found.subject = m_.of(circuit).is.name;
            }
        }
        const Machine& m_;
        const Way& way_;
        const Deed& deed_;
        InstanceId at_;
        const linked::Item& item_;
        Faults& faults_;
        bool unsure_ = false;
    };

    std::vector<InstanceId> beside_if(ItemId other, InstanceId at) const {
        return there(other) ? beside(other, at) : std::vector<InstanceId>();
    }

    // Hydraulic: fill, bleed, prime, then level and leak-check in either order. Engine oil and coolant: fill, circulate, then level and
    // leak-check; coolant with a vent is bled there besides, before it goes round or after. Gear oil: fill, level, leak-check. Fuel: leak-check.
    static std::vector<std::pair<int, std::uint64_t>> proofs_of(const linked::Item& circuit) {
        if (!circuit.circuit_of.sort) return {};
        switch (circuit.circuit_of.sort->value) {
        case model::CircuitSort::hydraulic:
            return {{0, fill}, {1, all_vents_bits}, {2, prime}, {3, level}, {3, leak_check}};
        case model::CircuitSort::coolant:
            return {{0, fill}, {1, circulate}, {1, all_vents_bits}, {2, level}, {2, leak_check}};
        case model::CircuitSort::engine_oil:
            return {{0, fill}, {1, circulate}, {2, level}, {2, leak_check}};
        case model::CircuitSort::gear_oil:
            return {{0, fill}, {1, level}, {2, leak_check}};
        case model::CircuitSort::fuel:
            return {{0, leak_check}};
        }
        return {};
    }
    static std::uint64_t paid_by(VerbName verb) {
        switch (verb) {
        case VerbName::fill:
            return fill;
        case VerbName::prime:
            return prime;
        case VerbName::circulate:
            return circulate;
        case VerbName::level:
            return level;
        case VerbName::leak_check:
            return leak_check;
        default:
            return 0;
        }
    }

    // -- What each verb leaves -------------------------------------------------------------------------------------------------
    void touch(InstanceId at) { touched_.insert(at); }
    void owe(Way& way, InstanceId at, std::uint64_t debts, const Row& row) {
        if (debts == 0) return;
        Thing& thing = way.things[at.index()];
        thing.owes |= debts;
        thing.told_owes &= ~debts;
        thing.indebted = &row;
        touch(at);
    }
    void pay(Way& way, InstanceId at, std::uint64_t debts) {
        Thing& thing = way.things[at.index()];
        thing.owes &= ~debts;
        thing.told_owes &= ~debts;
        touch(at);
    }
    // What is renewed as one: whichever names the other, on every side.
    std::set<ItemId> one_set(ItemId item) const {
        std::set<ItemId> set;
        std::vector<ItemId> open{item};
        const auto take = [&](ItemId each) {
            if (there(each) && set.insert(each).second) open.push_back(each);
        };
        while (!open.empty()) {
            const ItemId one = open.back();
            open.pop_back();
            for (const ItemId each : of(one).is.renew_together) take(each);
            for (std::size_t i = 0; i < fit_.items.size(); ++i)
                for (const ItemId each : fit_.items[i].is.renew_together)
                    if (each == one) take(ItemId(i));
        }
        if (!set.empty()) set.insert(item);
        return set;
    }
    void renew(Way& way, InstanceId at, const Row& row) {
        pay(way, at, renewal);
        way.things[at.index()].owes |= is_new;
        for (const ItemId other : one_set(id_of(at)))
            for (const InstanceId each : all(other))
                if ((way.things[each.index()].owes & is_new) == 0) owe(way, each, renewal, row);
    }
    void put(Way& way, InstanceId at, Place place, const Row& row) {
        Thing& thing = way.things[at.index()];
        thing.place = place;
        thing.known = true;
        thing.told = false;
        thing.anywhere = false;
        thing.placed = &row;
        touch(at);
    }

    // Only the cap that it is filled or looked at by was off.
    static bool looked_in(const linked::Item& circuit, ItemId cap) {
        for (const linked::While& each : circuit.whiles)
            if (each.verb == VerbName::fill || each.verb == VerbName::level)
                for (const linked::Need& need : each.needs)
                    if (need.item == cap && need.place != 0) return true;
        return false;
    }
    // A circuit that is opened owes all its sort's proofs; bleeding at the vents on the opener's side, or at all.
    void opened(Way& way, ItemId circuit, InstanceId opener, const Row& row) {
        if (!there(circuit)) return;
        std::uint64_t debts = 0;
        if (looked_in(of(circuit).is, id_of(opener))) {
            for (const auto& [rank, owed] : proofs_of(of(circuit).is)) debts |= owed & (level | leak_check);
            for (const InstanceId each : beside(circuit, opener)) owe(way, each, debts, row);
            return;
        }
        for (const auto& [rank, owed] : proofs_of(of(circuit).is))
            if (owed != all_vents_bits) debts |= owed;
        if (bled(circuit) || aired(circuit))
            for (const ItemId vent : of(circuit).is.vented_by)
                for (const InstanceId each : beside_if(vent, opener)) debts |= vent_bit(circuit, each);
        for (const InstanceId each : beside(circuit, opener)) {
            const std::uint64_t own = vents_of(circuit, each);
            std::uint64_t here = debts & (own | ~all_vents_bits);
            // With no vent beside what opened it, the air goes out elsewhere, or nowhere.
            if (bled(circuit) && (here & all_vents_bits) == 0) here |= own == 0 ? no_vent : own;
            if (aired(circuit) && (here & all_vents_bits) == 0) here |= own;
            owe(way, each, here, row);
        }
    }
    // Those of its own side, where it is on each.
    std::uint64_t vents_of(ItemId circuit, InstanceId at) const {
        std::uint64_t bits = 0;
        for (const ItemId vent : of(circuit).is.vented_by)
            for (const InstanceId each : beside_if(vent, at)) bits |= vent_bit(circuit, each);
        return bits;
    }
    // It leaves a thread that no locker holds on.
    bool greasy(linked::ConsumableId what) const {
        const auto& sort = linked_.consumables[what.index()].figures.sort;
        return sort && (sort->value == model::ConsumableSort::lubricant || sort->value == model::ConsumableSort::fluid);
    }
    bool bled(ItemId circuit) const {
        const auto& sort = of(circuit).is.circuit_of.sort;
        return sort && sort->value == model::CircuitSort::hydraulic;
    }
    // Out of water the air goes by itself, wherever a vent is open while it is filled, or opened once it is.
    bool aired(ItemId circuit) const {
        const auto& sort = of(circuit).is.circuit_of.sort;
        return sort && sort->value == model::CircuitSort::coolant;
    }
    // A vent lets no fluid out that was not let out on purpose: its circuit has to be bled there, and proved, and not filled.
    void vented(Way& way, ItemId circuit, InstanceId vent, const Row& row) {
        if (!there(circuit)) return;
        std::uint64_t debts = bled(circuit) ? vent_bit(circuit, vent) : 0;
        for (const auto& [rank, owed] : proofs_of(of(circuit).is))
            if (owed != all_vents_bits && owed != fill) debts |= owed;
        for (const InstanceId each : beside(circuit, vent)) {
            owe(way, each, debts, row);
            if (!aired(circuit)) continue;
            Thing& thing = way.things[each.index()];
            if ((thing.owes & fill) == 0)
                pay(way, each, vent_bit(circuit, vent));
            else if ((thing.told_owes & fill) != 0) // to the other machine it may be filled
                thing.told_owes |= vent_bit(circuit, vent);
        }
    }
    void moved(Way& way, ItemId circuit, InstanceId by, const Row& row, bool away = true) {
        if (!there(circuit)) return;
        const auto& sort = of(circuit).is.circuit_of.sort;
        if (away && sort && sort->value != model::CircuitSort::hydraulic && sort->value != model::CircuitSort::gear_oil)
            return opened(way, circuit, by, row); // it stood in that
        std::uint64_t debts = 0;
        for (const auto& [rank, owed] : proofs_of(of(circuit).is)) debts |= owed & (prime | level);
        for (const InstanceId each : beside(circuit, by)) owe(way, each, debts, row);
    }
    // What names it in `disturbed-by` or `after` has to be set again, and what comes after that.
    void disturb(Way& way, InstanceId by, InstanceId first, std::set<InstanceId>& seen, const Row& row) {
        for (const ItemId adjustment : item_of(by).disturbs)
            for (const InstanceId each : beside_if(adjustment, by)) {
                if (each == first || !seen.insert(each).second) continue;
                owe(way, each, adjust | to_prove(adjustment, each), row);
                disturb(way, each, first, seen, row);
            }
    }
    void disturb(Way& way, InstanceId by, const Row& row) {
        std::set<InstanceId> seen;
        disturb(way, by, by, seen, row);
    }
    // Either makes what it opens owe that circuit's proofs, disturbs what names it, and owes locker and degrease if it has one.
    void broken_loose(Way& way, InstanceId at, const Row& row) {
        const linked::Item& item = item_of(at);
        opened(way, item.opens, at, row);
        if (item.vents != item.opens) vented(way, item.vents, at, row);
        disturb(way, at, row);
        if (item.sort != Sort::fastener) return;
        if (item.threadlock.known()) owe(way, at, locker | degrease, row);
        pay(way, at, locker_has_set);
    }

    void wiped_dry(Way& way, InstanceId at, const Row& row) {
        pay(way, at, degrease);
        if (item_of(at).lubricant.known()) owe(way, at, lubricant, row);
    }

    // Topped up, it is looked at once more. (Where a fill was owed, and that was told, the other machine may think so.)
    void level_anew(Way& way, InstanceId at, const Row& row) {
        Thing& thing = way.things[at.index()];
        if ((thing.owes & level) != 0 || ((thing.owes & fill) != 0 && (thing.told_owes & fill) == 0)) return;
        const bool perhaps = (thing.owes & fill) != 0;
        for (const auto& [rank, owed] : proofs_of(item_of(at)))
            if ((owed & level) != 0) owe(way, at, level, row);
        if (perhaps) thing.told_owes |= thing.owes & level;
    }

    void stir(Way& way, InstanceId circuit, bool surely) {
        if (!item_of(circuit).circuit_of.settles_in) return;
        Thing& thing = way.things[circuit.index()];
        const bool known = (thing.owes & unsettled) != 0 && (thing.told_owes & unsettled) == 0;
        thing.owes |= unsettled;
        if (surely || known)
            thing.told_owes &= ~std::uint64_t{unsettled};
        else
            thing.told_owes |= unsettled;
    }
    // A setting that goes into or out of a state, other than that of rest, in which the circuit is run or read.
    void stirred_by(Way& way, InstanceId at, const Deed& deed) {
        const Thing& setting = way.things[at.index()];
        for (std::size_t i = 0; i < fit_.items.size(); ++i) {
            const linked::Item& circuit = fit_.items[i].is;
            if (!there(ItemId(i)) || circuit.sort != Sort::circuit) continue;
            std::vector<linked::Need> asked = circuit.needs;
            for (const linked::While& each : circuit.whiles)
                if (each.verb == VerbName::circulate || each.verb == VerbName::level)
                    asked.insert(asked.end(), each.needs.begin(), each.needs.end());
            bool into = false;
            bool out = false;
            for (const linked::Need& need : asked) {
                if (need.item != deed.item || (need.place == 0 && !item_of(at).rests_anywhere)) continue;
                into = into || need.place == deed.to;
                out = out || setting.is(need.place);
            }
            // (Out of a place that was told, the other machine may not know.)
            if (into || out)
                for (const InstanceId each : beside(ItemId(i), at)) stir(way, each, into || !setting.told);
        }
    }

    void leave(Way& way, const Deed& deed, InstanceId at) {
        const linked::Item& item = item_of(at);
        const Row& row = deed.row;
        switch (row.verb) {
        case VerbName::slacken:
            broken_loose(way, at, row);
            return put(way, at, 2, row);
        case VerbName::remove:
            if (item.sort == Sort::part) {
                moved(way, item.circuit, at, row);
                disturb(way, at, row);
            } else {
                broken_loose(way, at, row);
                if (item.sort == Sort::fastener && item.lubricant.known() && item.fastener.reuse &&
                    item.fastener.reuse->value == model::Reuse::never)
                    owe(way, at, lubricant, row);
            }
            return put(way, at, off(item), row);
        case VerbName::fit:
            if (item.sort == Sort::part && item.part.reuse && item.part.reuse->value == model::Reuse::never)
                renew(way, at, row);
            return put(way, at, item.sort == Sort::fastener ? 2 : 0, row);
        case VerbName::snug:
            return put(way, at, 1, row);
        case VerbName::torque:
            return put(way, at, 0, row);
        case VerbName::move:
            moved(way, item.circuit, at, row, deed.to != 0);
            if (deed.to != 0) disturb(way, at, row);
            return put(way, at, deed.to, row);
        case VerbName::set:
            stirred_by(way, at, deed);
            return put(way, at, deed.to, row);
        case VerbName::open:
            opened(way, deed.item, at, row);
            return disturb(way, at, row);
        case VerbName::press_back:
            return moved(way, item.circuit, at, row, false);
        case VerbName::fill:
        case VerbName::prime:
        case VerbName::circulate:
        case VerbName::level:
        case VerbName::leak_check:
            if (row.verb == VerbName::fill || row.verb == VerbName::circulate) stir(way, at, true);
            if (row.verb == VerbName::fill) level_anew(way, at, row);
            pay(way, at, paid_by(row.verb));
            if (row.verb != VerbName::fill || !aired(deed.item)) return;
            for (const ItemId vent : item.vented_by)
                for (const InstanceId each : beside_if(vent, at)) {
                    const Thing& stands = way.things[each.index()];
                    if (stands.told)
                        way.things[at.index()].told_owes |= vent_bit(deed.item, each);
                    else if (stands.away() || !stands.known) // ways differed about it, and that was told
                        pay(way, at, vent_bit(deed.item, each));
                }
            return;
        case VerbName::bleed:
            // Air may have come in and fluid has gone out: its level and the rest have to be proved again.
            for (const InstanceId each : beside_if(item.vents, at)) {
                pay(way, each, vent_bit(item.vents, at));
                if (bled(item.vents)) owe(way, each, prime | level | leak_check, row);
                if (aired(item.vents)) owe(way, each, level | leak_check, row);
            }
            return put(way, at, 2, row);
        case VerbName::adjust:
            disturb(way, at, row);
            pay(way, at, adjust);
            return owe(way, at, to_prove(deed.item, at), row);
        case VerbName::clean: {
            if (std::none_of(row.step->with_consumables.begin(), row.step->with_consumables.end(),
                             [&](linked::ConsumableId with) { return greasy(with); }))
                wiped_dry(way, at, row);
            // The locker that was put on a thread which lies open is washed off with the rest.
            const Thing& thing = way.things[at.index()];
            const bool lies_open = item.sort == Sort::fastener && item.threadlock.known() && thing.is(off(item));
            if (!lies_open || (thing.owes & locker) != 0) return;
            owe(way, at, locker, row);
            if (thing.told) way.things[at.index()].told_owes |= locker;
            return;
        }
        case VerbName::apply:
            if (item.threadlock.known() && deed.consumable == item.threadlock) pay(way, at, locker);
            if (item.lubricant.known() && deed.consumable == item.lubricant) pay(way, at, lubricant);
            return;
        case VerbName::measure: {
            if (item.sort != Sort::adjustment) return;
            Thing& thing = way.things[at.index()];
            touch(at);
            const bool owed = (thing.owes & prove) != 0;
            // It proves an adjustment once that is made, with what disturbs it tight; before, it proves nothing and does no harm.
            bool loose = false;
            bool told = false;
            for (const ItemId adjuster : item.disturbed_by) {
                if (!there(adjuster) || (!fastens(of(adjuster).is) && of(adjuster).is.sort != Sort::part)) continue;
                for (const InstanceId each : beside(adjuster, at)) {
                    const Thing& disturbs = way.things[each.index()];
                    loose = loose || (disturbs.away() && !disturbs.told);
                    told = told || (disturbs.away() && disturbs.told);
                }
            }
            if (owed && (loose || told || (thing.owes & adjust) != 0)) thing.early = true;
            if (loose) return;
            if (told) { // to the other machine it may be tight
                thing.told_owes |= to_prove(deed.item, at);
                return;
            }
            if ((thing.owes & adjust) == 0) {
                for (const fitted::LimitUse& use : row.limits)
                    pay(way, at, limit_bits(item, use.figure.limit, [&](InstanceId one) {
                            return std::find(deed.read.begin(), deed.read.end(), one) != deed.read.end();
                        }));
                if ((thing.owes & all_vents_bits) == 0) pay(way, at, prove);
            } else if ((thing.told_owes & adjust) != 0) {
                thing.told_owes |= to_prove(deed.item, at); // the other machine may take the adjustment for made
            }
            return;
        }
        case VerbName::renew:
            if (item.sort == Sort::fastener && item.threadlock.known()) owe(way, at, locker | degrease, row);
            if (item.lubricant.known()) owe(way, at, lubricant, row);
            return renew(way, at, row);
        case VerbName::recheck:
        case VerbName::mark:
        case VerbName::inspect:
        case VerbName::wait:
        case VerbName::record:
        case VerbName::do_procedure:
            return;
        }
    }

    // All thread-locker that sets in the time, or is waited for and says no time. It has to hold something by then.
    void wait(const Row& row, Ways& ways) {
        for (std::size_t i = 0; i < fit_.items.size(); ++i) {
            const auto& takes = fit_.items[i].is.circuit_of.settles_in;
            const auto& waited = row.step->source->verb->time;
            if (!takes || !waited || units::compare(waited->value.quantity, takes->value.quantity) < 0) continue;
            for (Way& way : ways)
                for (const InstanceId at : all(ItemId(i))) {
                    way.things[at.index()].owes &= ~std::uint64_t{unsettled};
                    way.things[at.index()].told_owes &= ~std::uint64_t{unsettled};
                }
        }
        std::vector<InstanceId> setting;
        for (std::size_t i = 0; i < fit_.items.size(); ++i) {
            const linked::Item& item = fit_.items[i].is;
            if (!there(ItemId(i)) || item.sort != Sort::fastener || !item.threadlock.known()) continue;
            const auto& time = linked_.consumables[item.threadlock.index()].figures.sets_in;
            const auto& waited = row.step->source->verb->time;
            const bool sets = time ? waited && units::compare(waited->value.quantity, time->value.quantity) >= 0
                                   : row.step->wait_for == item.threadlock;
            if (!sets) continue;
            for (const InstanceId at : all(ItemId(i))) setting.push_back(at);
        }
        Faults faults;
        for (const Way& way : ways)
            for (const InstanceId at : setting) {
                const Thing& thing = way.things[at.index()];
                const bool wet = (thing.owes & locker) == 0;
                if (!thing.known || (thing.place != 1 && thing.place != 2)) continue;
                if (!wet && (thing.told_owes & locker) == 0) continue;
                Fault fault;
                fault.found = {"locker-sets-early", item_of(at).name, {}, side_of(at)};
                fault.at = head(row);
                fault.sure = wet && !thing.told;
                fault.subject = at;
                fault.on = {{at, 0}};
                faults.push_back(fault);
            }
        settle(faults, ways);
        for (Way& way : ways)
            for (const InstanceId at : setting) {
                Thing& thing = way.things[at.index()];
                if (!thing.is(0)) continue;
                thing.owes |= locker_has_set;
                if (thing.told) thing.told_owes |= locker_has_set;
            }
    }

    void work(const Row& row, const Binding& binding, Ways& ways) {
        const linked::ConsumableId consumable = row.step->consumable;
        for (const fitted::Target& target : row.targets)
            work_on({row, target.item, target.span, target.place, consumable},
                    bound(target.item, binding, target.values), ways);
        if (row.verb == VerbName::measure)
            for (const fitted::LimitUse& use : row.limits)
                for (const ItemId proved : linked_.limits[use.figure.limit.index()].proves) {
                    std::vector<InstanceId> read;
                    for (const fitted::LimitUse& each : row.limits)
                        for (std::size_t i = 0; i < each.of.size(); ++i)
                            for (const InstanceId one : bound(each.of[i], binding, each.values.at(i)))
                                read.push_back(one);
                    work_on({row, proved, use.span, 0, {}, read}, bound(proved, binding, {}), ways);
                }
        if (row.verb == VerbName::wait) wait(row, ways);
    }
    // A step does its whole item at once: all sides are judged before any of them changes.
    void work_on(Deed deed, const std::vector<InstanceId>& instances, Ways& ways) {
        deed.all = instances;
        Faults faults;
        for (const Way& way : ways)
            for (const InstanceId at : instances) {
                touch(at);
                Judge(*this, way, deed, at, faults).demands();
            }
        for (const Fault& fault : faults) faulty_.insert({&deed.row, fault.subject});
        settle(faults, ways);
        for (Way& way : ways)
            for (const InstanceId at : instances) leave(way, deed, at);
    }

    // -- Ways ------------------------------------------------------------------------------------------------------------------
    static Span head(const Row& row) {
        const model::Step& step = *row.step->source;
        if (step.verb) return step.verb->key;
        if (step.ask) return step.ask->span;
        if (step.decide) return step.decide->span;
        if (step.if_answered) return step.if_answered->span;
        if (step.again && step.again->value.from) return step.again->value.from->value.span;
        if (step.stop) return step.stop->span;
        if (step.plain) return step.plain->span;
        if (step.say) return step.say->span;
        return step.span;
    }

    void let_twins_go(Ways& ways) {
        std::sort(ways.begin(), ways.end());
        ways.erase(std::unique(ways.begin(), ways.end()), ways.end());
        verdict_.ways = std::max(verdict_.ways, ways.size());
        if (ways.size() > most_ways) {
            verdict_.too_many_ways = true;
            ways.resize(1);
        }
    }

    // Places must agree between ways whose answers nobody asks any more: reported there, then unknown.
    using Given = std::pair<std::map<Question, bool>, std::vector<std::map<Question, bool>>>;
    static std::map<Question, bool> yes_or_no(const Answers& answers) {
        std::map<Question, bool> said;
        for (const auto& [question, answer] : answers) said[question] = answer.yes;
        return said;
    }
    static Given given(const Way& way) {
        Given all{yes_or_no(way.answers), {}};
        for (const Answers& answers : way.callers) all.second.push_back(yes_or_no(answers));
        return all;
    }
    void agree(Ways& ways, const char* check, const Row& row) {
        std::map<Given, std::vector<Way*>> groups;
        for (Way& way : ways) groups[given(way)].push_back(&way);
        for (auto& [answers, group] : groups)
            for (std::size_t i = 0; i < fit_.instances.size(); ++i) {
                std::vector<Thing*> same;
                for (Way* way : group) same.push_back(&way->things[i]);
                agree(same, check, row, InstanceId(i));
            }
        let_twins_go(ways);
    }
    // What drifts in a repeat drifts in the one around it, which goes without saying.
    bool drifts_within(const Row& row, InstanceId at) const {
        const std::function<bool(const Rows&)> inside = [&](const Rows& rows) {
            return std::any_of(rows.begin(), rows.end(), [&](const Row& each) {
                return drifted_.contains({&each, at}) || inside(each.if_so) || inside(each.if_not) ||
                       inside(each.body) || inside(each.otherwise);
            });
        };
        return inside(row.body);
    }
    // Where a step leaves what it is done to; nothing of a verb that moves nothing.
    static std::optional<Place> left_at(VerbName verb, const linked::Item& item, Place written) {
        switch (verb) {
        case VerbName::torque:
            return Place{0};
        case VerbName::snug:
            return Place{1};
        case VerbName::slacken:
        case VerbName::bleed:
            return Place{2};
        case VerbName::remove:
            return off(item);
        case VerbName::fit:
            return item.sort == Sort::fastener ? Place{2} : Place{0};
        case VerbName::move:
        case VerbName::set:
            return written;
        default:
            return std::nullopt;
        }
    }
    // A step in the row that would bring it to one of the places, and whose `only` may leave this side out.
    bool left_out_within(const Row& row, InstanceId at, const std::set<Place>& places) const {
        const std::function<bool(const Rows&)> inside = [&](const Rows& rows) {
            return std::any_of(rows.begin(), rows.end(), [&](const Row& each) {
                for (const fitted::Target& target : each.targets) {
                    if (target.item != id_of(at) || (target.values.empty() && each.only.empty())) continue;
                    const std::optional<Place> to = left_at(each.verb, item_of(at), target.place);
                    if (each.kind == RowKind::verb && to && places.contains(*to)) return true;
                }
                return inside(each.if_so) || inside(each.if_not) || inside(each.body) || inside(each.otherwise);
            });
        };
        return inside(row.body) || inside(row.if_so) || inside(row.if_not);
    }
    void agree(const std::vector<Thing*>& same, const char* check, const Row& row, InstanceId at) {
        std::set<Place> places;
        bool known = true;
        bool anywhere = false;
        bool told = false;
        bool left_out = false;
        // A step that brought it there was told to be wrong. (The other machine keeps one such step of all that it joined.)
        const bool faulty =
            std::any_of(faulty_.begin(), faulty_.end(), [&](const auto& each) { return each.second == at; });
        for (const Thing* each : same) {
            known = known && each->known;
            anywhere = anywhere || each->anywhere;
            told = told || each->told;
            left_out = left_out || left_out_.contains({each->placed, at});
            if (each->known) places.insert(each->place);
        }
        if (places.size() > 1) {
            Fault fault;
            fault.found = {check, item_of(at).name, {}, side_of(at)};
            fault.at = head(row);
            fault.sure = known && !told && !faulty && !left_out && !drifts_within(row, at);
            record(fault);
            if (fault.found.check == "repeat-drifts") drifted_.insert({&row, at});
            // One step's `only` leaves this side out, which is told here. Where the steps that brought it where it is now make ways differ
            // further out, too, it is for the same reason. (Only those steps, and only this side; a later one that moves it is judged anew.)
            if (left_out_within(row, at, places))
                for (const Thing* each : same)
                    if (each->placed != nullptr) left_out_.insert({each->placed, at});
        }
        for (Thing* each : same) {
            if (!known || places.size() > 1) {
                each->anywhere = anywhere;
                each->known = false;
                each->place = 0;
                each->placed = nullptr;
                each->told = anywhere && told;
            } else if (told) {
                each->told = true;
            }
        }
    }

    // -- Rows ------------------------------------------------------------------------------------------------------------------
    using Names = std::set<StepId>;
    const Names& named_in(const Row& row) {
        const auto known = names_.find(&row);
        if (known != names_.end()) return known->second;
        Names names;
        for (const linked::Answer& answer : row.answers) names.insert(answer.question);
        for (const Rows* inner : {&row.if_so, &row.if_not, &row.body, &row.otherwise})
            for (const Row& each : *inner) names.insert(named_in(each).begin(), named_in(each).end());
        return names_[&row] = names;
    }
    Names named_in(const Rows& rows, std::size_t from = 0) {
        Names names;
        for (std::size_t i = from; i < rows.size(); ++i)
            names.insert(named_in(rows[i]).begin(), named_in(rows[i]).end());
        return names;
    }

    // `later`: the questions that are named after this list, and that what it asks may be known to.
    void walk(const Rows& rows, const Binding& binding, const Names& later, std::size_t depth, Ways& ways) {
        for (std::size_t i = 0; i < rows.size(); ++i) {
            const Row& row = rows[i];
            if (ways.empty()) {
                if (row.kind != RowKind::hole) unreached_.push_back({&row, depth == 1 ? at_work_ : nullptr});
                return;
            }
            const bool elsewhere = !row.only.empty() && binding.value != no_value && binding.axis == axis_ &&
                                   std::find(row.only.begin(), row.only.end(), binding.value) == row.only.end();
            Names to_come = named_in(rows, i + 1);
            to_come.insert(later.begin(), later.end());
            if (!elsewhere) walk(row, binding, to_come, depth, ways);
            // Whatever was asked in this list, and nothing to come names, is no matter any more.
            forget(ways, depth, to_come);
            let_twins_go(ways);
        }
    }
    void forget(Ways& ways, std::size_t depth, const Names& to_come) {
        std::map<Question, const Row*> forgotten;
        for (const Way& way : ways)
            for (const auto& [question, answer] : way.answers)
                if (answer.level == depth && !to_come.contains(question.first)) forgotten[question] = answer.asked;
        for (const auto& [question, row] : forgotten) {
            for (Way& way : ways) way.answers.erase(question);
            agree(ways, "ways-differ", *row);
        }
    }

    void walk(const Row& row, const Binding& binding, const Names& to_come, std::size_t depth, Ways& ways) {
        if (row.kind != RowKind::if_answered) reached_.insert(&row);
        switch (row.kind) {
        case RowKind::hole:
        case RowKind::plain:
            return;
        case RowKind::verb:
            return row.verb == VerbName::do_procedure ? call(row, binding, ways) : work(row, binding, ways);
        case RowKind::question:
            return question(row, binding, to_come, depth, ways);
        case RowKind::if_answered:
            return if_answered(row, binding, depth, ways);
        case RowKind::repeat:
            return repeat(row, binding, to_come, depth, ways);
        case RowKind::stop:
            return stop(row, ways);
        }
    }

    static void join(Ways& ways, Ways more) {
        for (Way& way : more) ways.push_back(std::move(way));
    }

    static void answered(Way& way, const Question& asked, bool named, Answer answer) {
        if (named)
            way.answers[asked] = answer;
        else
            way.answers.erase(asked);
    }

    // A decision on a reading from before the thing was made and tight, when it is.
    void judge_readings(const Row& row, const Binding& binding, Ways& ways) {
        Faults faults;
        for (const fitted::LimitUse& use : row.limits)
            for (const ItemId proved : linked_.limits[use.figure.limit.index()].proves)
                for (const InstanceId at : bound(proved, binding, {})) {
                    const linked::Item& item = item_of(at);
                    bool away = false;
                    bool unsure = false;
                    for (const ItemId adjuster : item.disturbed_by)
                        for (const InstanceId each : beside_if(adjuster, at))
                            for (const Way& way : ways) {
                                const Thing& thing = way.things[each.index()];
                                const bool hole = !thing.known || thing.told;
                                away = away || (!hole && thing.place != 0);
                                unsure = unsure || hole;
                            }
                    if (away) continue;
                    const std::uint64_t read =
                        to_prove(proved, at) & limit_bits(item, use.figure.limit, [](InstanceId) { return true; });
                    const bool early = std::any_of(ways.begin(), ways.end(),
                                                   [&](const Way& way) { return way.things[at.index()].early; });
                    for (const Way& way : ways) {
                        const Thing& thing = way.things[at.index()];
                        if (!early || (thing.owes & read) == 0) continue;
                        const bool made = (thing.owes & adjust) == 0;
                        if (!made && (thing.told_owes & adjust) == 0) continue;
                        Fault fault;
                        fault.found = {"read-too-early", item.name, {}, side_of(at)};
                        fault.at = use.span;
                        fault.sure = made && thing.early && !unsure && (thing.owes & read & ~thing.told_owes) != 0;
                        fault.subject = at;
                        fault.on = {{at, all_vents_bits | prove}};
                        faults.push_back(fault);
                    }
                }
        settle(faults, ways);
    }

    void question(const Row& row, const Binding& binding, const Names& to_come, std::size_t depth, Ways& ways) {
        judge_readings(row, binding, ways);
        Ways yes = ways;
        Ways no = std::move(ways);
        ways.clear();
        walk(row.if_so, binding, {}, depth + 100, yes);
        walk(row.if_not, binding, {}, depth + 100, no);
        const Question asked{row.id, binding.value};
        const bool named = to_come.contains(row.id);
        for (Way& way : yes) answered(way, asked, named, {true, depth, &row});
        for (Way& way : no) answered(way, asked, named, {false, depth, &row});
        join(ways, std::move(yes));
        join(ways, std::move(no));
        agree(ways, "ways-differ", row);
    }

    void if_answered(const Row& row, const Binding& binding, std::size_t depth, Ways& ways) {
        Ways inside;
        Ways outside;
        bool not_asked = false;
        for (Way& way : ways) {
            bool all = true;
            bool asked = true;
            for (const linked::Answer& answer : row.answers) {
                auto said = way.answers.find({answer.question, binding.value});
                if (said == way.answers.end()) said = way.answers.find({answer.question, no_value});
                if (said == way.answers.end()) {
                    Fault fault;
                    fault.found.check = "not-asked-here";
                    fault.at = answer.span;
                    record(fault);
                    asked = false;
                    break;
                }
                all = all && said->second.yes == answer.yes;
            }
            not_asked = not_asked || !asked;
            (all && asked ? inside : outside).push_back(std::move(way));
        }
        ways = std::move(outside);
        if (inside.empty()) {
            if (!not_asked) unreached_.push_back({&row, nullptr});
            return;
        }
        reached_.insert(&row);
        walk(row.if_so, binding, {}, depth + 100, inside);
        join(ways, std::move(inside));
    }

    // What was told in one round is told in all: to the other machine one round stands for them.
    static void told_alike(Ways& ways) {
        if (ways.empty()) return;
        for (std::size_t i = 0; i < ways.front().things.size(); ++i) {
            bool told = false;
            std::uint64_t owes = 0;
            for (const Way& way : ways) {
                told = told || way.things[i].told;
                owes |= way.things[i].told_owes;
            }
            for (Way& way : ways) {
                way.things[i].told = told;
                way.things[i].told_owes = owes;
            }
        }
    }

    // Round after round, as many as there are at most: after each the work may go on, after the last through `else`.
    void repeat(const Row& row, const Binding& binding, const Names& to_come, std::size_t depth, Ways& ways) {
        Names later = named_in(row.otherwise);
        later.insert(to_come.begin(), to_come.end());
        Ways done;
        Ways last;
        for (std::int64_t round = 1; round <= row.at_most && !ways.empty(); ++round) {
            std::map<Given, std::vector<Thing>> start;
            for (const Way& way : ways) start[given(way)] = way.things;
            for (const Way& way : ways) // whether a place was told may differ between ways of a group
                for (std::size_t i = 0; i < way.things.size(); ++i)
                    start[given(way)][i].told = start[given(way)][i].told || way.things[i].told;
            ++repeats_;
            walk(row.body, binding, later, depth + 1, ways);
            --repeats_;
            Ways after = ways;
            for (Way& way : after) // from now on known to the list around it
                for (auto& [question, answer] : way.answers)
                    if (answer.level == depth + 1) answer.level = depth;
            join(done, after);
            last = std::move(after);
            // The next round asks anew.
            const bool asked = std::any_of(ways.begin(), ways.end(), [&](const Way& way) {
                return std::any_of(way.answers.begin(), way.answers.end(),
                                   [&](const auto& each) { return each.second.level == depth + 1; });
            });
            for (Way& way : ways)
                std::erase_if(way.answers, [&](const auto& each) { return each.second.level == depth + 1; });
            agree(ways, "repeat-drifts", row);
            if (ways.empty()) break;
            if (round == 1 && !asked && settles(row, binding, later, depth, start, ways)) {
                let_twins_go(ways);
                continue;
            }
            for (Way& way : ways) {
                const auto from = start.find(given(way));
                if (from == start.end()) continue;
                for (std::size_t i = 0; i < way.things.size(); ++i) {
                    Thing before = from->second[i];
                    agree({&before, &way.things[i]}, "repeat-drifts", row, InstanceId(i));
                }
            }
            let_twins_go(ways);
        }
        ways = std::move(done);
        told_alike(ways);
        told_alike(last);
        if (!row.otherwise.empty() && !last.empty()) {
            walk(row.otherwise, binding, {}, depth + 100, last);
            join(ways, std::move(last));
        }
        agree(ways, "ways-differ", row);
    }

    static bool any_told(const std::vector<Thing>& things) {
        return std::any_of(things.begin(), things.end(),
                           [](const Thing& thing) { return thing.told || thing.told_owes != 0; });
    }
    // The first round may begin otherwise than the later ones, if the second has nothing against that and leaves all as the first did.
    bool settles(const Row& row, const Binding& binding, const Names& later, std::size_t depth,
                 const std::map<Given, std::vector<Thing>>& start, const Ways& after_one) {
        const auto moved = [](const Thing& a, const Thing& b) { return a.known && b.known && a.place != b.place; };
        bool any = false;
        for (const Way& way : after_one) {
            const auto from = start.find(given(way));
            if (from == start.end()) continue;
            for (std::size_t i = 0; i < way.things.size(); ++i) any = any || moved(from->second[i], way.things[i]);
        }
        if (!any) return false;
        const Verdict kept = verdict_;
        const auto found_before = std::exchange(found_here_, {});
        const auto faulty = faulty_;
        const auto drifted = drifted_;
        const auto left_out = left_out_;
        Ways again = after_one;
        bool told = false;
        for (const auto& [answers, things] : start) told = told || any_told(things);
        for (const Way& way : after_one) told = told || any_told(way.things);
        walk(row.body, binding, later, depth + 1, again);
        const auto found_again = std::exchange(found_here_, found_before);
        const bool nothing_new =
            std::includes(found_before.begin(), found_before.end(), found_again.begin(), found_again.end());
        bool settled = !again.empty() && nothing_new;
        for (const Way& way : again) told = told || any_told(way.things);
        verdict_ = kept;
        // The same finding may be worded otherwise (off, and now tight), which to the other machine is another one.
        verdict_.unclear = verdict_.unclear || told || (nothing_new && !found_again.empty());
        faulty_ = faulty;
        drifted_ = drifted;
        left_out_ = left_out;
        std::map<Given, std::vector<Thing>> first;
        for (const Way& way : after_one) first[given(way)] = way.things;
        for (const Way& way : again) {
            const auto from = first.find(given(way));
            if (from == first.end()) continue;
            for (std::size_t i = 0; i < way.things.size(); ++i)
                settled = settled && !moved(from->second[i], way.things[i]);
        }
        return settled;
    }

    // What is left must be safe: no setting in a state that is unsafe to leave, and wheels that are on are held.
    void stop(const Row& row, Ways& ways) {
        for (const Way& way : ways)
            for (std::size_t i = 0; i < fit_.instances.size(); ++i) {
                const InstanceId at(i);
                if (there(id_of(at))) unsafe(way, at, row);
            }
        ways.clear();
    }
    void unsafe(const Way& way, InstanceId at, const Row& row) {
        const linked::Item& item = item_of(at);
        const Thing& thing = way.things[at.index()];
        Fault fault;
        fault.at = head(row);
        if (item.sort == Sort::setting && item.setting.unsafe_to_leave && thing.known) {
            for (const auto& state : item.setting.unsafe_to_leave->value) {
                if (state.name != item.places[thing.place].name) continue;
                fault.found = {"stop-unsafe", item.name, {}, {}};
                fault.sure = !thing.told;
                record(fault);
            }
        }
        if (item.sort != Sort::part || !item.part.system || item.part.system->value != model::System::wheel) return;
        if (thing.is(off(item)) && !thing.told) return;
        for (const ItemId holder : item.held_by)
            for (const InstanceId each : beside_if(holder, at)) {
                const Thing& holds = way.things[each.index()];
                if (!holds.known || holds.place < 2) continue;
                fault.found = {"stop-unsafe", of(holder).is.name, item.name, side_of(at)};
                fault.sure = !holds.told && !thing.told;
                record(fault);
            }
    }

    // -- Procedures ------------------------------------------------------------------------------------------------------------
    Thing at_rest(InstanceId at) const {
        Thing thing;
        thing.known = !item_of(at).rests_anywhere;
        thing.anywhere = item_of(at).rests_anywhere;
        if (item_of(at).sort == Sort::fastener && item_of(at).threadlock.known()) thing.owes = locker_has_set;
        return thing;
    }
    // What a contract says is owed.
    std::uint64_t owed(const linked::Entering& entering, InstanceId at) const {
        std::uint64_t debts = 0;
        const auto said = [&](model::Debt debt, std::uint64_t bits) {
            if ((entering.owes & model::bit(debt)) != 0) debts |= bits;
        };
        said(model::Debt::locker, locker);
        said(model::Debt::degrease, degrease);
        said(model::Debt::lubricant, lubricant);
        said(model::Debt::fill, fill);
        said(model::Debt::prime, prime);
        said(model::Debt::circulate, circulate);
        said(model::Debt::level, level);
        said(model::Debt::leak_check, leak_check);
        said(model::Debt::adjust, adjust);
        said(model::Debt::renew, renewal);
        said(model::Debt::prove, to_prove(entering.item, at));
        if ((entering.owes & model::bit(model::Debt::bleed)) != 0) {
            const std::uint64_t vents = vents_of(entering.item, at);
            debts |= vents == 0 ? no_vent : vents;
        }
        return debts;
    }
    Thing promised(InstanceId at, const linked::Entering* entering) const {
        Thing thing = at_rest(at);
        if (entering != nullptr && entering->has_place) {
            thing.place = entering->place;
            thing.known = true;
            thing.anywhere = false;
        }
        if (!thing.known || thing.place != 0) thing.owes = 0;
        return thing;
    }

    void sections(const fitted::Procedure& procedure, const Binding& caller, Ways& ways) {
        for (std::size_t i = 0; i < procedure.sections.size(); ++i) {
            const fitted::Section& section = procedure.sections[i];
            Names later;
            for (std::size_t j = i + 1; j < procedure.sections.size(); ++j)
                for (const StepId name : named_in(procedure.sections[j].rows)) later.insert(name);
            const bool narrowed = caller.value != no_value && caller.axis == procedure.axis;
            const std::set<InstanceId> outer = set_here_;
            if (section.bound) gather_set(section.rows, set_here_);
            if (section.bound && !narrowed)
                for (const AxisValue value : procedure.values)
                    walk(section.rows, Binding{procedure.axis, value}, later, 1, ways);
            else
                walk(section.rows, caller, later, 1, ways);
            set_here_ = outer;
            // What this section leaves open is known to the next ones, each of which it stays open through.
            for (Way& way : ways)
                for (auto& [question, answer] : way.answers)
                    if (answer.level == 1) answer.level = 0;
            forget(ways, 0, later);
        }
    }

    struct Alone { // what a procedure touches, found by walking it by itself
        std::set<InstanceId> touched;
    };
    const Alone& alone(fitted::ProcedureIndex index, const Binding& binding) {
        const auto key = std::pair(index, binding);
        const auto known = alone_.find(key);
        if (known != alone_.end()) return known->second;
        const fitted::Procedure& procedure = fit_.procedures[index.index()];
        const auto outer = std::tuple(touched_, entered_, repaired_, at_work_, axis_, found_here_);
        found_here_.clear();
        touched_.clear();
        entered_.clear();
        repaired_.clear();
        at_work_ = &procedure;
        axis_ = procedure.axis;

        Way start;
        for (std::size_t i = 0; i < fit_.instances.size(); ++i) start.things.push_back(at_rest(InstanceId(i)));
        for (const linked::Entering& entering : procedure.starts_with)
            for (const InstanceId at : bound(entering.item, binding, {})) {
                Thing& thing = start.things[at.index()] = promised(at, &entering);
                thing.owes |= owed(entering, at);
                entered_[at] = entering.span;
                touched_.insert(at);
            }
        for (const linked::Entering& entering : procedure.starts_with)
            if ((entering.owes & model::bit(model::Debt::renew)) != 0)
                for (const ItemId other : one_set(entering.item))
                    for (const InstanceId at : all(other))
                        if ((start.things[at.index()].owes & renewal) == 0) start.things[at.index()].owes |= is_new;
        Ways ways{start};
        sections(procedure, binding, ways);
        Alone made{touched_};
        ends(procedure, binding, made.touched, ways);
        last_ = std::move(ways);
        std::tie(touched_, entered_, repaired_, at_work_, axis_, found_here_) = outer;
        return alone_[key] = made;
    }

    // What the contract names is as it says; what else was touched is at rest.
    static const linked::Entering* said_of(const std::vector<linked::Entering>& contract, ItemId item) {
        for (const linked::Entering& entering : contract)
            if (entering.item == item) return &entering;
        return nullptr;
    }
    struct Broken {
        bool broken = false;
        bool sure = false;
    };
    Broken breaks(const Thing& thing, InstanceId at, const linked::Entering* entering) const {
        const bool any_place = entering != nullptr && !entering->has_place;
        const Place wanted = entering != nullptr && entering->has_place ? entering->place : Place{0};
        Broken broken;
        if (!any_place && (thing.anywhere || (thing.known && thing.place != wanted))) broken = {true, !thing.told};
        const std::uint64_t too_much = thing.unfinished() & ~may_owe(entering, at);
        if (too_much != 0) {
            broken.broken = true;
            broken.sure = broken.sure || (too_much & ~thing.told_owes) != 0;
        }
        return broken;
    }
    // What is off or loose owes its locker or lubricant as a matter of course.
    std::uint64_t may_owe(const linked::Entering* entering, InstanceId at) const {
        if (entering == nullptr) return 0;
        return owed(*entering, at) | (entering->has_place && entering->place != 0 ? locker | degrease | lubricant : 0);
    }

    // Of what was told at a call nothing is told at the end. If it was perhaps told, perhaps.
    bool surely_repaired(InstanceId at) const {
        const auto found = repaired_.find(at);
        return found != repaired_.end() && found->second;
    }
    void ends(const fitted::Procedure& procedure, const Binding& binding, const std::set<InstanceId>& touched,
              const Ways& ways) {
        std::set<InstanceId> named;
        for (const linked::Entering& entering : procedure.ends_with)
            for (const InstanceId at : bound(entering.item, binding, {})) {
                named.insert(at);
                if (surely_repaired(at)) continue;
                for (const Way& way : ways) {
                    const Broken broken = breaks(way.things[at.index()], at, &entering);
                    if (!broken.broken) continue;
                    Fault fault;
                    fault.found = {"contract-broken", item_of(at).name, {}, side_of(at)};
                    fault.at = entering.span;
                    fault.sure = broken.sure && !repaired_.contains(at);
                    record(fault);
                }
            }
        std::map<Finding, std::pair<bool, std::set<At>>> left;
        for (const InstanceId at : touched) {
            if (named.contains(at) || item_of(at).rests_anywhere || surely_repaired(at)) continue;
            for (const Way& way : ways) not_at_rest(way, at, procedure, left);
        }
        if (binding.value == no_value) old_beside_new(procedure, touched, ways, left);
        for (const auto& [finding, how] : left) {
            for (const At& each : how.second) verdict_.possible.insert({finding, each});
            if (how.first) verdict_.sure[{finding, {how.second.begin(), how.second.end()}}] = true;
        }
    }
    // Read too early for a bolt that is told to be loose, or told to lack a reading: that is what it owes.
    bool told_otherwise(const Way& way, InstanceId at) const {
        const Thing& thing = way.things[at.index()];
        const linked::Item& item = item_of(at);
        if (item.sort != Sort::adjustment || (thing.owes & adjust & ~thing.told_owes) != 0) return false;
        for (const fitted::Procedure& procedure : fit_.procedures)
            for (const linked::LimitId limit : procedure.unread)
                if (std::find(item.proved_by.begin(), item.proved_by.end(), limit) != item.proved_by.end()) return true;
        for (const ItemId adjuster : item.disturbed_by)
            for (const InstanceId each : beside_if(adjuster, at)) {
                const Thing& disturbs = way.things[each.index()];
                if (!disturbs.known || disturbs.told || disturbs.place != 0) return true;
            }
        return false;
    }
    void not_at_rest(const Way& way, InstanceId at, const fitted::Procedure& procedure,
                     std::map<Finding, std::pair<bool, std::set<At>>>& left) const {
        const Thing& thing = way.things[at.index()];
        const linked::Item& item = item_of(at);
        const auto say = [&](const char* check, Span span, bool sure) {
            auto& [surely, spans] = left[{check, item.name, {}, side_of(at)}];
            surely = surely || (sure && !repaired_.contains(at));
            spans.insert(At{span});
        };
        const auto entered = entered_.find(at);
        if (thing.away()) {
            Span span = entered != entered_.end() ? entered->second : item.declared;
            if (thing.placed != nullptr) span = span_in(*thing.placed, id_of(at));
            const bool loose = item.sort == Sort::fastener && thing.place != off(item);
            say(item.sort == Sort::setting ? "left-set" : loose ? "left-loose" : "left-off", span, !thing.told);
        }
        // What is left loose or off is told as that; its thread-locker or lubricant is part of the same work.
        const bool has_places = fastens(item) || item.sort == Sort::part;
        if (thing.unfinished() == 0 || (has_places && !thing.is(0))) return;
        Span span = entered != entered_.end() ? entered->second : procedure.source->source->id.span;
        if (thing.indebted != nullptr) span = span_in(*thing.indebted, id_of(at));
        const bool known = (!has_places || !thing.told) && !told_otherwise(way, at);
        say("left-owing", span, known && (thing.unfinished() & ~thing.told_owes) != 0);
    }
    // Of a set that is renewed together, some is new and some is not. It is told once of the set, at the first of it that is asked after.
    void old_beside_new(const fitted::Procedure& procedure, const std::set<InstanceId>& touched, const Ways& ways,
                        std::map<Finding, std::pair<bool, std::set<At>>>& left) const {
        std::vector<InstanceId> asked;
        std::set<InstanceId> done;
        for (const linked::Entering& entering : procedure.ends_with)
            for (const InstanceId at : bound(entering.item, {}, {})) {
                done.insert(at);
                if ((owed(entering, at) & renewal) == 0) asked.push_back(at);
            }
        for (const InstanceId at : touched)
            if (!done.contains(at)) asked.push_back(at);
        const auto is_old = [&](InstanceId at) {
            return std::any_of(ways.begin(), ways.end(),
                               [&](const Way& way) { return (way.things[at.index()].owes & renewal) != 0; });
        };
        std::set<InstanceId> told;
        for (const InstanceId at : asked) {
            if (surely_repaired(at) || told.contains(at) || !is_old(at)) continue;
            std::string first;
            for (const ItemId other : one_set(id_of(at))) {
                for (const InstanceId each : all(other)) {
                    if (!is_old(each)) continue;
                    if (!repaired_.contains(at)) told.insert(each);
                    if (first.empty()) first = of(other).is.name;
                }
            }
            auto& [surely, spans] = left[{"renewed-apart", first, {}, {}}];
            for (const Way& way : ways) {
                const Thing& thing = way.things[at.index()];
                if ((thing.owes & renewal) == 0) continue;
                surely = surely || ((thing.told_owes & renewal) == 0 && !repaired_.contains(at));
                const auto entered = entered_.find(at);
                Span span = entered != entered_.end() ? entered->second : procedure.source->source->id.span;
                if (thing.indebted != nullptr) span = span_in(*thing.indebted, id_of(at));
                spans.insert(At{span});
            }
        }
    }
    static Span span_in(const Row& row, ItemId item) {
        for (const fitted::Target& target : row.targets)
            if (target.item == item) return target.span;
        return row.targets.empty() ? head(row) : row.targets.front().span;
    }

    // A call finds things as `starts-with` asks: what it does not name and the procedure touches is at rest. What is not so is told
    // once, and what follows takes the promise as kept.
    void call(const Row& row, const Binding& binding, Ways& ways) {
        if (!row.calls.known()) return;
        const fitted::Procedure& procedure = fit_.procedures[row.calls.index()];
        const std::set<InstanceId> touched = alone(row.calls, binding).touched;
        const Span at_call = row.targets.empty() ? head(row) : row.targets.front().span;
        std::set<InstanceId> named;
        for (const linked::Entering& entering : procedure.starts_with)
            for (const InstanceId at : bound(entering.item, binding, {})) {
                named.insert(at);
                begins(at, &entering, at_call, ways);
            }
        for (const InstanceId at : touched)
            if (!named.contains(at) && !item_of(at).rests_anywhere) begins(at, nullptr, at_call, ways);

        const auto outer = std::pair(at_work_, axis_);
        at_work_ = &procedure;
        axis_ = procedure.axis;
        for (Way& way : ways) way.callers.push_back(std::exchange(way.answers, {}));
        sections(procedure, binding, ways);
        for (Way& way : ways) {
            way.answers = std::move(way.callers.back());
            way.callers.pop_back();
        }
        std::tie(at_work_, axis_) = outer;
        // What it leaves otherwise than it says was told of itself.
        named.clear();
        const auto keep = [&](InstanceId at, Place promised) {
            for (Way& way : ways)
                if (way.things[at.index()].known && way.things[at.index()].place != promised)
                    way.things[at.index()].told = true;
        };
        const auto stands = [&](InstanceId at) {
            return item_of(at).sort != Sort::circuit && item_of(at).sort != Sort::adjustment;
        };
        for (const linked::Entering& entering : procedure.ends_with)
            for (const InstanceId at : bound(entering.item, binding, {})) {
                named.insert(at);
                if (entering.has_place && stands(at)) keep(at, entering.place);
            }
        for (const InstanceId at : touched)
            if (!named.contains(at) && !item_of(at).rests_anywhere && stands(at)) keep(at, 0);
    }
    void begins(InstanceId at, const linked::Entering* entering, Span at_call, Ways& ways) {
        Broken any;
        for (const Way& way : ways) {
            const Broken broken = breaks(way.things[at.index()], at, entering);
            any = {any.broken || broken.broken, any.sure || broken.sure};
        }
        if (!any.broken) return;
        Fault fault;
        fault.found = {"contract-broken", item_of(at).name, {}, side_of(at)};
        fault.at = at_call;
        fault.sure = any.sure;
        record(fault);
        repaired_[at] = repaired_[at] || any.sure;
        touch(at);
        entered_[at] = entering != nullptr ? entering->span : at_call;
        // If it may have been told before, the other machine may or may not tell this, too: the way goes on as both.
        Ways kept;
        if (!any.sure) kept = ways;
        for (Way& way : ways) {
            way.things[at.index()] = promised(at, entering);
            if (!any.sure) {
                way.things[at.index()].told = true;
                way.things[at.index()].told_owes = ~std::uint64_t{0};
            }
        }
        for (Way& way : kept) {
            way.things[at.index()].told = true;
            way.things[at.index()].told_owes = ~std::uint64_t{0};
        }
        join(ways, std::move(kept));
        let_twins_go(ways);
    }

    // A step that no walk came to: it stands after a stop, or under an answer that cannot be given there. Of what follows a stop in a
    // procedure's sections, the first step is told.
    void say_unreached() {
        std::set<const fitted::Procedure*> told;
        for (const auto& [row, top] : unreached_) {
            if (reached_.contains(row)) continue;
            if (top != nullptr && !told.insert(top).second) continue;
            Fault fault;
            fault.found = {"unreachable", {}, {}, {}};
            fault.at = head(*row);
            record(fault);
        }
    }

    const fitted::Fit& fit_;
    const linked::Linked& linked_;
    Verdict verdict_;
    std::map<const Row*, Names> names_;
    std::set<const Row*> reached_;
    std::set<std::pair<const Row*, InstanceId>> drifted_; // repeats, with what drifts in them
    std::set<std::pair<const Row*, InstanceId>> faulty_;  // steps that are wrong, with to what they are done
    // Steps, with to what they are done, that leave it otherwise than where a step would bring it whose `only` was told to leave it out.
    std::set<std::pair<const Row*, InstanceId>> left_out_;
    std::vector<std::pair<const Row*, const fitted::Procedure*>> unreached_;
    std::map<std::pair<fitted::ProcedureIndex, Binding>, Alone> alone_;
    Ways last_;
    // Of the procedure that is walked by itself.
    std::set<InstanceId> touched_;
    std::map<InstanceId, Span> entered_;
    std::map<InstanceId, bool> repaired_; // what a call did not find as it asks, and whether that was surely told
    const fitted::Procedure* at_work_ = nullptr; // whose sections are worked
    linked::AxisId axis_;
    std::size_t repeats_ = 0; // whose rounds are walked
    std::set<std::pair<Finding, At>> found_here_;
    std::set<InstanceId> set_here_; // what has no side, and is set where each side is worked
};

} // namespace benchleaf::slow
