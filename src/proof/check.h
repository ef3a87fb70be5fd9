// A close-out check. Each lives in checks/ in a file of its own: its name, when it is asked, its logic and its wording. The abstract machine
// (machine.h) walks the rows; it asks a check at the moment that the check names and hands it what it needs to judge: a `Moment`. The check
// says what is wrong as a `Finding`; findings that differ only in the side are told as one message.
#pragma once

#include "messages/message.h"
#include "proof/substances.h"
#include "proof/ways.h"

#include <functional>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::proof {

struct Check;
class Remedies;

// When a check is asked.
enum class When : std::uint8_t {
    demand, // a verb is done to an item, and the verb's row in model/verbs.cpp makes the check's demand
    end,    // a procedure, or the job, ends: each item that it touched
    stop,   // a way stops: each item of the vehicle
    machine // the machine itself comes upon it: ways that disagree, rows that no way reaches
};

// Something wrong on one instance. `what` and `label` are filled with the item's name and sides where they say {item} and {sides}; in `help`,
// {before} is "before this step", or the way on which a step is missing.
struct Finding {
    const Check* check = nullptr;
    linked::ItemId item;              // the item at fault
    std::vector<linked::ItemId> with; // others that are so, too, and told with it (tell.h)
    fitted::AxisValue value = fitted::no_value;
    const fitted::Row* row = nullptr; // the step that it is told at; null at an end
    source::Span at;                  // the primary span
    std::string what;                 // "{item} is left loose{sides}"
    std::string label;                // under the primary span; may be empty
    std::vector<messages::Label> more;
    std::string help;
    source::Span tells; // of a name that its help gives to a step: that nothing has it goes without saying
    std::vector<messages::Edit> mends; // the help done: the steps that are missing, where they belong
    std::string mends_title;           // what that does, in words; empty: it adds those steps
    // Steps that are told to stand too late, with what they are done to (nothing: to whatever): what is wrong with them where they stand is told
    // with this.
    std::vector<std::pair<const fitted::Row*, linked::ItemId>> late;
    std::string leaves;       // at an end: what `ends-with` would say of it
    std::string brings_back;  // of ways that differ: "`- fit: lid` after `- clean: lid`"
    std::string on_answer;    // where that belongs: "under its `if-not`"
    bool of_another = false;  // another procedure was most likely meant: how this one leaves the item is not known
    bool once = false;        // the help is done once for all sides
    bool wants_entry = false; // `starts-with` may lack it
    Answers answers;          // the way on which it is so, where it is not so on all
    // What is at fault, so that one mistake gives one message: from here on the machine takes such a standing for a hole (its place not
    // known, or the debts told no longer owed) and later checks step over it.
    std::vector<std::pair<fitted::InstanceId, Standing>> blamed;
    linked::LimitId limit;        // of what reading
    std::uint64_t told_debts = 0; // none: its place was told
    std::uint64_t told_on = 0;    // what lies on it was told, and no longer does

    bool same_fault(const Finding& other) const {
        return check == other.check && item == other.item && value == other.value && at == other.at &&
               what == other.what;
    }
    // The same of an item on whatever side.
    bool same_thing(const Finding& other) const {
        return check == other.check && item == other.item && at == other.at && what == other.what;
    }
};

// What a check sees. Names and relations come from `fit`; how things stand, from the methods.
class Moment {
public:
    const fitted::Fit& fit;
    const linked::Linked& linked;
    const fitted::Row* row = nullptr; // what is done; null at an end
    const model::Deed* deed = nullptr;
    linked::ItemId item;                        // to what
    fitted::AxisValue value = fitted::no_value; // of its axis
    fitted::InstanceId at;
    linked::Place place = 0;         // of a move or set: where to
    linked::ConsumableId consumable; // of an apply
    source::Span span;               // the target's name in the step
    // At an end: how the item has to be left, and whether `ends-with` (or the next procedure's `starts-with`) says so.
    linked::Place wanted_place = 0;
    bool any_place = false; // no place is asked for
    std::uint64_t may_owe = 0;
    bool contracted = false;
    // Where a procedure is called: its name, and the item in its `starts-with`, if it is there. `span` is then that of the call.
    std::string_view begins;
    const fitted::Row* call = nullptr;        // the step that calls it
    bool whole = true;                        // at an end: it was worked on every value of its axis
    bool of_job = false;                      // at an end: it is a job that ends
    const fitted::Procedure* ended = nullptr; // or this procedure
    source::Span promised;
    std::vector<fitted::InstanceId> worked_at; // all that the step does the same to at once, itself among them
    // The readings that a step decides by; at an end, the last of all. `item` and `at` are of what is read, or of the adjustment that it proves.
    struct Reading {
        linked::LimitId limit;
        const fitted::LimitUse* use = nullptr; // null at an end
        fitted::InstanceId slot;               // what was done since it was taken: proof/readings.h
        linked::ItemId item;
        fitted::InstanceId at;
        fitted::AxisValue value = fitted::no_value;
    };
    std::vector<Reading> readings;
    void about(const Reading& reading) {
        item = reading.item;
        at = reading.at;
        value = reading.value;
        if (reading.use != nullptr) span = reading.use->span;
    }
    // How the thread of a fastener stands: what waited on it, and what was turned.
    fitted::InstanceId thread(fitted::InstanceId of) const {
        return fitted::InstanceId(static_cast<std::uint32_t>(first_thread + of.index()));
    }
    std::size_t first_thread = 0; // set by the machine

    const fitted::Item& it() const { return fit.items[item.index()]; }
    const fitted::Item& of(linked::ItemId other) const { return fit.items[other.index()]; }
    std::string_view name(linked::ItemId other) const { return of(other).is.name; }

    // What the step puts on, brings along, or fills in (the fluid of a circuit), with where it is named.
    struct Used {
        linked::ConsumableId consumable;
        source::Span span;
    };
    std::vector<Used> used() const;
    const linked::Consumable& of(linked::ConsumableId which) const { return linked.consumables[which.index()]; }
    // The tools of the step that `is` says something of, with where they are named.
    std::vector<std::pair<linked::ToolId, source::Span>> tools(bool (*is)(const model::Tool&)) const;
    // The circuits whose inside the item is at: it is one, opens or vents one, is moved by one, or sits inside what is moved.
    std::vector<linked::ItemId> circuits() const;

    // A standing of the instance that `bad` is true of, on some way that is still going; nothing if there is none.
    struct Found {
        Standing standing;
        Answers answers;
    };
    // With `on`, of those ways alone: what is wrong with two things together is so only if it is on one and the same way.
    template <class Bad>
    std::optional<Found> some(fitted::InstanceId instance, Bad bad, Way on = Ways::going) const {
        std::optional<Found> found;
        ways_->each(ways_->where(standing_of(instance), on), [&](const Standing& s, const Answers& a) {
            if (!bad(s)) return true;
            found = Found{s, a};
            return false;
        });
        if (!found || found->answers.empty()) return found;
        // Where it is so whatever was answered, no answer is to blame.
        bool always = true;
        ways_->each(ways_->where(standing_of(instance), on), [&](const Standing& s, const Answers&) {
            always = bad(s);
            return always;
        });
        if (always) found->answers.clear();
        return found;
    }
    // The ways that are still going on which the instance stands so.
    Way when(fitted::InstanceId instance, const std::function<bool(const Standing&)>& is) const {
        return ways_->so(standing_of(instance), is);
    }
    // The instances of another item that stand beside this one: on the same value where both have the axis, else all.
    std::vector<fitted::InstanceId> beside(linked::ItemId other) const;
    std::vector<fitted::InstanceId> every(linked::ItemId other) const;
    // Those that belong to the circuit which this item is, opens or vents: where there is a circuit on each side, those of this side.
    std::vector<fitted::InstanceId> on_circuit(linked::ItemId circuit, linked::ItemId other) const;

    // Reports; the primary span is `span` unless the finding has one.
    Finding& report(const Check& check, std::string what, const std::optional<Found>& found = std::nullopt);
    // "removed here" at the row that brought the standing about, or where it came so: in the contract, else at the declaration.
    messages::Label cause(fitted::InstanceId of, const Standing& standing) const;
    // "owed since here".
    std::optional<messages::Label> debt_cause(fitted::InstanceId of, const Standing& standing) const;
    // What a procedure leaves is told at the step that left it so; what a job leaves, at the job.
    void put_at(Finding& finding, messages::Label where) const;
    // Puts the cause under the finding and the fault on it; of debts, those in `debts`.
    void blame(Finding& finding, fitted::InstanceId of, const Standing& standing) const;
    // What is asked of other items before this is done, and how it is said where it is not so.
    struct Words {
        std::string what;        // "{item} is removed{sides}"
        std::string_view demand; // "it has to be"
        std::string_view label;  // where it is asked for
        std::string_view help;   // empty: the steps that bring it about
        bool slackens = false;   // the item is slackened with it, which belongs into a step of its own
    };
    // Tells each that is otherwise, or of which nobody says how it stands, on the ways in `on`.
    void ask(const Check& check, std::span<const linked::Need> wanted, const Words& words, Way on = Ways::going);
    std::vector<linked::Need> whiles(model::VerbName verb) const;
    // Where nobody says how a setting that may rest anywhere stands.
    std::optional<Found> anyhow(fitted::InstanceId of, Way on = Ways::going) const;
    // Of such a setting, which has to be in a place; with the help for it.
    void blame_anywhere(Finding& finding, fitted::InstanceId of, const Found& found, linked::Place wanted) const;
    void blame_debt(Finding& finding, fitted::InstanceId of, const Standing& standing, std::uint64_t debts) const;
    messages::Label declared(linked::ItemId of, std::string text) const;
    std::string place_name(linked::ItemId of, linked::Place place) const;
    std::string_view done() const; // the verb's past tense: "slackened"

    Moment(const fitted::Fit& the_fit, const linked::Linked& the_linked, Ways& ways, std::vector<Finding>& findings)
        : fit(the_fit), linked(the_linked), ways_(&ways), findings_(&findings) {}

    // Set by the machine: the way value of an instance, restricted to the ways that are going; and what a contract said of how the work
    // begins.
    std::function<Way(fitted::InstanceId)> standing_of;
    const std::map<fitted::InstanceId, source::Span>* entered = nullptr;
    const Substances* substances = nullptr;
    Remedies* remedies = nullptr; // what would mend it

private:
    Ways* ways_;
    std::vector<Finding>* findings_;
};

struct Check {
    messages::Rule rule;
    When when = When::demand;
    std::optional<model::Demand> demand;                     // with When::demand
    void (*judge)(Moment& now, const Check& self) = nullptr; // null where the machine alone sees it
};

std::span<const Check* const> all_checks();

// The bits of a limit that proves an adjustment, one for each instance of what it is of that `takes` is true of; 0 for a limit that does not prove it, or
// cannot be measured on this vehicle.
std::uint64_t proof_bits_of(const fitted::Fit& fit, const linked::Linked& linked, const linked::Item& adjustment,
                            linked::LimitId limit, const std::function<bool(fitted::InstanceId)>& takes);

// The bits of all that prove one of an adjustment's instances, with the debt itself; 0 where nothing does.
std::uint64_t all_proof_bits(const fitted::Fit& fit, const linked::Linked& linked, linked::ItemId adjustment,
                             fitted::AxisValue value);

// All that is renewed as one with an item, itself with it, in the order of the catalogue; nothing where it belongs to no set. Whichever of them
// names the other under `renew-together`.
std::vector<linked::ItemId> renewed_as_one(const fitted::Fit& fit, linked::ItemId item);
// The item's name in a row that does something to it; else what the row is about.
source::Span target_span(const fitted::Row& row, linked::ItemId item);
// The debts in words: "`fill`, `bleed`".
std::string debts_of(std::uint64_t bits);
// The narrowest span that says which step this is: its verb's word, its question, its reason to stop.
source::Span head_span(const fitted::Row& row);

} // namespace benchleaf::proof
