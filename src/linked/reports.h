// What linking can find wrong, in words: one function a finding, each defined beside its rule in checks/, so that rule,
// level and wording stand in one file.
#pragma once

#include "linked/check.h"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace benchleaf::linked {

namespace checks {
extern const Check system_unsaid, source_of_no_figure, seal_reuse_unsaid, pattern_unsaid, full_in_unsaid,
    circulate_unsaid, brake_fluid_shared, points_unsaid, tagged_goes_on, filler_unsaid, no_brake_fluid,
    flammable_unsaid, hollow_opens_nothing, lock_reuse_unsaid, axis_unlike_wheels, greased_too_late, size_absurd,
    two_torques, once_on_each_side, once_for_nothing, lubricant_unsaid, amounts_do_not_add, narrowed_alone,
    torque_in_other_units, proof_unsaid, bad_goes_on, bad_leads_nowhere, brake_asked_for_nothing, inspected_for_nothing,
    looked_at_under_dust, measured_over_and_over, washed_off_again, second_check_refused, service_not_ahead,
    ambiguous_name, critical_unsaid, crossing_repeats, cycle_of_do, cycle_of_parts, do_too_deep, duplicate_id,
    duplicate_name, each_unsaid, else_goes_on, holds_unsaid, locker_unsaid, measured_for_nothing, no_recheck,
    no_second_person, not_asked_before, opened_hot, renews_when_good, set_and_not_read, repeat_from,
    setting_without_states, stops_when_good, too_many_values, unknown_axis, unknown_name, unknown_place, unknown_step,
    unused_entry, vehicle_changes_shape, verb_without_colon, washers_unsaid, wrong_sort;
} // namespace checks

using messages::Messages;

// -- Names ------------------------------------------------------------------------------------------------------------
// `where` is empty or "catalogue wheels"; `near` is the nearest match and `replacement` how it is written here.
// `others`: where nothing is near, names that have the word in them. `catalogue`: where an entry would stand, if that is known.
struct Missing;
void report_unknown_name(Messages& out, Span at, const std::string& name, std::string_view noun,
                         const std::string& where, const std::string& near, Span near_declared,
                         const std::string& replacement, const std::vector<std::string>& others = {},
                         const Missing* missing = nullptr);
// What is done with a name that nothing declares.
struct MissingUses {
    bool taken_off = false; // or fitted
    bool slackened = false;
    bool torqued = false; // or has a torque
    bool holds_what_comes_off = false;
    bool sets = false;               // something is adjusted while it is loose, or a round turns it
    bool sides = false;              // some procedure of the shop is worked on each side, or wheel
    bool critical = false;           // it holds a part whose loss hurts somebody
    bool renewed = false;            // wherever it is worked on
    std::string caution;             // that nothing names
    std::string behind_of_held;      // what the part that it holds is behind
    std::string behind;              // the part that comes off right before it, and goes on right behind it
    bool locker = false;             // a fastener wants it as its thread-locker
    bool fluid = false;              // a circuit holds it
    std::string lubricant;           // that goes on it
    std::string needs;               // what the part that it holds needs: "engine: stopped"
    std::string threadlock;          // the thread-locker that goes on it
    std::string locks;               // the nut that is turned to its next slot, and comes off right behind it
    std::string unit;                // in which its amounts are written
    std::vector<std::string> states; // in which it is set, or wanted
    std::string
        each; // the axis of all that it holds or disturbs, or of the work on it; empty where they are there once, or differ
    Span worked; // the first step that works on it
};
// What several places name and nothing declares.
struct Missing {
    std::string name;
    Span first; // where it is named for the first time
    std::size_t places = 0;
    std::uint8_t kinds = 0; // of linked::Kind and linked::Sort (names.h), as bits: what all of those places take
    std::uint8_t sorts = 0;
    std::string catalogue; // the file in which it would stand, if that is known
    bool new_list = false; // in which there is no list for it yet
    Span empty_list;       // in which there is a list for it that holds nothing
    std::string like;      // the nearest name that there is
    Span like_declared;
    Span second; // where it is named besides: in a step, if one does
    MissingUses uses;
};
void report_undeclared(Messages& out, const Missing& missing);
// The list of a catalogue that its entry goes into: "parts".
std::string_view list_for(const Missing& missing);
// Declared as `name`, and called `wanted` wherever it is asked for.
void report_misspelt_entry(Messages& out, Span at, const std::string& name, std::string_view noun,
                           const std::string& wanted, const std::vector<Span>& asked);
// What a decision rests on: a limit or a reading of the procedure.
void report_unnamed_look(Messages& out, Span at, const std::string& name, const model::Step& look);
void report_unknown_basis(Messages& out, Span at, const std::string& name, const std::string& near, Span near_declared);
void report_not_used(Messages& out, Span at, const std::string& name, std::string_view noun,
                     const std::string& catalogue, Span declared, std::vector<messages::Edit> edits);
void report_ambiguous_name(Messages& out, Span at, const std::string& name, std::string_view noun,
                           const std::vector<std::pair<std::string, Span>>& where);
void report_wrong_sort(Messages& out, Span at, const std::string& name, std::string_view wanted, std::string_view is,
                       Span declared);
// A whole sentence of its own, the label under the name, and a help.
void report_wrong_sort(Messages& out, Span at, const std::string& text, Span declared, const std::string& declared_text,
                       const std::string& help);
void report_unknown_place(Messages& out, Span at, const std::string& place, const std::string& item,
                          const std::vector<std::string>& places, const std::string& near, Span declared,
                          const std::string& help = {});
// Declared as `place`, and called `wanted` wherever it is asked for.
void report_misspelt_place(Messages& out, Span at, const std::string& place, const std::string& item,
                           const std::string& wanted, const std::vector<Span>& asked);
// `beside` is what stands beside it, all along `axis`; `worked` is where it is taken off once for each of them.
void report_each_unsaid(Messages& out, const Linked& linked, const Item& item, std::string_view how, const Item& beside,
                        AxisId axis, Span worked);
void report_unknown_axis(Messages& out, Span at, const std::string& axis, const std::string& near);
// `what` is "catalogue", "name in the catalogue wheels", …
void report_duplicate_name(Messages& out, Span at, const std::string& name, const std::string& what, Span first);
// A vehicle gives a key of an item that no vehicle may change.
void report_vehicle_changes_shape(Messages& out, Span at, const std::string& key, const std::string& item,
                                  Span declared);
void report_setting_without_states(Messages& out, Span at, const std::string& name);
void report_too_many_values(Messages& out, Span at, const std::string& what, std::size_t most);

// A step in words that is a verb of the language and nothing but names.
// `meant`: the step as it is written right; `sure`: nothing else can have been meant.
void report_verb_without_colon(Messages& out, Span at, std::string_view word, const std::string& meant, bool sure);

// -- Steps that refer to steps ----------------------------------------------------------------------------------------
void report_duplicate_id(Messages& out, Span at, const std::string& id, Span first);
// `meant`: the step that most likely is: "give `- slacken: nut` the", or is missing: "add `- slacken: nut` before `- torque: nut` with".
void report_unknown_step(Messages& out, Span at, const std::string& id, const std::string& near, Span near_declared,
                         const std::string& meant = {});
// `done` is "asked", "inspected".
void report_not_asked_before(Messages& out, Span at, const std::string& id, Span question, bool later,
                             std::string_view done);
void report_repeat_from(Messages& out, Span at, const std::string& id, Span step, bool later);
void report_crossing_repeats(Messages& out, Span at, Span other_again, Span other_from);

// -- Rings ------------------------------------------------------------------------------------------------------------
// What is done by what, first to last; the last does the first again.
void report_cycle_of_do(Messages& out, const std::vector<std::pair<std::string, Span>>& ring);
void report_do_too_deep(Messages& out, Span at, const std::string& called, std::size_t depth, std::size_t most);
// `how` is "held by", "behind", "inside".
struct PartLink {
    std::string name;
    std::string_view how;
    std::string next;
    Span span;
};
void report_cycle_of_parts(Messages& out, const std::vector<PartLink>& ring);

inline constexpr std::size_t most_values = 60;   // of an axis, and places of an item
inline constexpr std::size_t most_do_depth = 24; // procedures within procedures

} // namespace benchleaf::linked
