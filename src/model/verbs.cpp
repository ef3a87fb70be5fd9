#include "model/verbs.h"

#include "base/require.h"

#include <array>

namespace benchleaf::model {

namespace {

using D = Demand;
using E = Effect;

// Reach, as every verb on a part or fastener asks it.
std::vector<Demand> reached(std::vector<Demand> more) {
    std::vector<Demand> all{D::place, D::reach, D::unlocked, D::needs, D::whiles, D::dust_wetted};
    all.insert(all.end(), more.begin(), more.end());
    return all;
}

std::vector<Demand> within_reach() {
    return {D::reach, D::needs, D::whiles, D::dust_wetted};
}

// Where a substance comes onto the item.
std::vector<Demand> harmless(std::vector<Demand> all) {
    all.insert(all.end(), {D::surface_safe, D::seals_safe, D::may_meet});
    return all;
}

std::vector<Deed> proof_of_circuit(std::vector<Demand> more, std::vector<Effect> pays) {
    std::vector<Demand> all{D::needs, D::whiles, D::openers_tight, D::proofs_before, D::seals_safe, D::may_meet};
    all.insert(all.end(), more.begin(), more.end());
    return {{SortSet::circuit, Starts::anywhere, Leaves::same, std::move(all), std::move(pays)}};
}

std::vector<Verb> make_verbs() {
    std::vector<Verb> all;
    const auto declare = [&all](VerbName name, std::string_view word, Argument takes, std::string_view done,
                                std::string_view help, std::string_view example, std::vector<Deed> deeds,
                                std::vector<Effect> leaves = {}) {
        base::require(static_cast<std::size_t>(name) == all.size(), "verbs are declared in the order of VerbName");
        all.push_back({name, word, takes, done, help, example, std::move(deeds), std::move(leaves)});
    };

    declare(VerbName::slacken, "slacken", Argument::fasteners, "slackened", "Breaks a fastener loose; it stays in.",
            "- slacken: wheel-nut",
            {{SortSet::fastener,
              Starts::tight_or_snug,
              Leaves::loose,
              reached({D::not_running}),
              {E::owe_opened, E::disturb, E::owe_locker, E::forget_locker, E::fluid_fumes}}});
    declare(
        VerbName::remove, "remove", Argument::items, "removed", "Takes a part off, or a fastener out.",
        "- remove: [lower-guide-bolt, caliper]",
        {{SortSet::fastener,
          Starts::not_off,
          Leaves::off_place,
          reached({D::slacken_whiles, D::still_held, D::not_running}),
          {E::owe_opened, E::let_out, E::disturb, E::owe_locker, E::owe_lubricant, E::forget_locker, E::fluid_fumes}},
         {SortSet::clip,
          Starts::not_off,
          Leaves::off_place,
          reached({D::still_held, D::not_running}),
          {E::owe_opened, E::let_out, E::disturb, E::fluid_fumes}},
         {SortSet::part,
          Starts::not_off,
          Leaves::off_place,
          reached({D::holders_off, D::not_running}),
          {E::owe_moved, E::let_out, E::disturb}}});
    declare(VerbName::fit, "fit", Argument::items, "fitted",
            "Puts a part on, or a fastener in by hand. A fastener still needs its torque afterwards.",
            "- fit: [caliper, lower-guide-bolt]",
            {{SortSet::fastener, Starts::off_place, Leaves::loose, reached({D::holds_something}), {}},
             {SortSet::clip, Starts::off_place, Leaves::rest, reached({D::holds_something, D::locks_tight}), {}},
             {SortSet::part,
              Starts::off_place,
              Leaves::rest,
              reached({D::holders_clear, D::nothing_shut_in}),
              {E::new_if_never_reused}}});
    declare(VerbName::snug, "snug", Argument::fasteners, "snugged",
            "Runs a fastener down until it seats, without a torque.", "- snug: wheel-nut",
            {{SortSet::fastener, Starts::loose, Leaves::snug, reached({D::pinches_something}), {}}});
    declare(
        VerbName::torque, "torque", Argument::fasteners, "tightened",
        "Tightens a fastener to the torque that this vehicle has for it.", "- torque: lower-guide-bolt",
        {{SortSet::fastener,
          Starts::loose_or_snug,
          Leaves::rest,
          reached({D::pinches_something, D::locks_tight, D::locker_applied, D::locker_in_time, D::first_tightening}),
          {E::torqued}}});
    declare(
        VerbName::recheck, "recheck", Argument::fasteners, "rechecked",
        "Puts the wrench on a tight fastener once more, at its torque.", "- recheck: wheel-nut",
        {{SortSet::fastener, Starts::tight, Leaves::same, reached({D::locker_wet, D::locker_in_time}), {E::torqued}}});
    declare(VerbName::renew, "renew", Argument::items, "renewed",
            "Takes a new one in place of what is off; it counts from now.", "- renew: [inner-pad, outer-pad]",
            {{SortSet::any, Starts::off_place, Leaves::same, {D::place}, {E::as_new}}}, {E::new_state});
    declare(VerbName::move, "move", Argument::item_to_place, "moved",
            "Moves a part to another of its places, or back on.", "- move: { caliper: swung }",
            {{SortSet::part,
              Starts::own_or_resting,
              Leaves::written,
              reached({D::place_freed, D::still_held, D::not_running}),
              {E::owe_moved, E::let_out, E::disturb}},
             {SortSet::part,
              Starts::own_place,
              Leaves::rest,
              reached({D::holders_clear, D::nothing_shut_in}),
              {E::owe_moved}}});
    declare(VerbName::set, "set", Argument::setting_to_state, "set", "Brings a setting one rung up or down its ladder.",
            "- set: { front-end: jacked }",
            {{SortSet::setting,
              Starts::anywhere,
              Leaves::written,
              {D::needs, D::whiles, D::one_rung, D::users_at_rest},
              {E::stir_by_setting}}});
    declare(VerbName::open, "open", Argument::circuits, "opened",
            "Opens a circuit where no fastener does that `opens` it: a hose that is pulled off, a leg that is tipped "
            "out; it then owes all its proofs.",
            "- open: front-brake",
            {{SortSet::circuit,
              Starts::anywhere,
              Leaves::same,
              {D::needs, D::whiles, D::way_out, D::not_running},
              {E::owe_all_proofs, E::let_out, E::disturb, E::fluid_fumes}}});
    declare(VerbName::press_back, "press-back", Argument::parts, "pressed back",
            "Presses a piston back; the circuit must be primed again.", "- press-back: caliper",
            {{SortSet::part, Starts::anywhere, Leaves::same, within_reach(), {E::owe_moved}}});
    declare(VerbName::fill, "fill", Argument::circuits, "filled", "Fills a circuit with its fluid.",
            "- fill: engine-oil",
            proof_of_circuit({D::one_vent_open, D::drained}, {E::pay_fill, E::keep_in, E::fluid_fumes, E::stir}));
    declare(VerbName::bleed, "bleed", Argument::fasteners, "bled",
            "Bleeds a circuit at a vent until it runs clear; the vent still needs its torque.", "- bleed: bleed-screw",
            {{SortSet::fastener,
              Starts::not_off,
              Leaves::loose,
              reached({D::openers_tight, D::one_vent_open, D::proofs_before, D::moved_held}),
              {E::pay_bleed, E::owe_vented, E::fluid_fumes}}});
    declare(VerbName::prime, "prime", Argument::circuits, "primed",
            "Pumps a circuit until what it moves stands where it works.", "- prime: front-brake",
            proof_of_circuit({D::vents_tight, D::moved_at_rest}, {E::pay_prime}));
    declare(VerbName::circulate, "circulate", Argument::circuits, "circulated",
            "Runs a circuit so that its fluid reaches every part of it.", "- circulate: engine-oil",
            proof_of_circuit({D::vents_tight}, {E::pay_circulate, E::stir}));
    declare(VerbName::level, "level", Argument::circuits, "levelled", "Checks a circuit's level and corrects it.",
            "- level: front-brake", proof_of_circuit({D::vents_tight, D::settled}, {E::pay_level}));
    declare(VerbName::leak_check, "leak-check", Argument::circuits, "checked for leaks",
            "Looks for leaks where a circuit was opened.", "- leak-check: engine-oil",
            proof_of_circuit({D::vents_tight}, {E::pay_leak_check}));
    declare(VerbName::adjust, "adjust", Argument::adjustments, "adjusted", "Sets an adjustment.",
            "- adjust: chain-tension",
            {{SortSet::adjustment,
              Starts::anywhere,
              Leaves::same,
              {D::reach, D::needs, D::whiles, D::proofs_before},
              {E::disturb, E::pay_adjust}}},
            {E::new_state});
    declare(VerbName::clean, "clean", Argument::items, "cleaned", "Cleans an item.", "- clean: carrier",
            {{SortSet::any,
              Starts::anywhere,
              Leaves::same,
              harmless(within_reach()),
              {E::pay_degrease, E::wet_dust, E::wash_off, E::put_on}}});
    declare(VerbName::apply, "apply", Argument::consumable, "treated", "Puts a consumable on an item.",
            "- apply: guide-grease",
            {{SortSet::any,
              Starts::anywhere,
              Leaves::same,
              harmless({D::reach, D::needs, D::whiles, D::thread_bare, D::thread_dry, D::degreased, D::dust_wetted}),
              {E::pay_locker, E::pay_lubricant, E::wet_dust, E::put_on}}});
    declare(VerbName::measure, "measure", Argument::limits, "measured", "Takes the reading of a limit.",
            "- measure: pad-thickness",
            {{SortSet::adjustment, Starts::anywhere, Leaves::same, {D::needs}, {E::pay_prove}},
             {SortSet::any, Starts::anywhere, Leaves::same, within_reach(), {}}},
            {E::new_reading});
    declare(VerbName::inspect, "inspect", Argument::items, "inspected", "Looks an item over.", "- inspect: inner-pad",
            {{SortSet::any, Starts::anywhere, Leaves::same, within_reach(), {}}}, {E::new_reading});
    declare(VerbName::wait, "wait", Argument::time, "waited for", "Waits for a time.", "- wait: 20 min", {},
            {E::air_out, E::settle, E::locker_sets});
    declare(VerbName::mark, "mark", Argument::fasteners, "marked", "Draws a torque stripe across a tight fastener.",
            "- mark: axle-nut",
            {{SortSet::fastener,
              Starts::tight,
              Leaves::same,
              {D::place, D::reach, D::needs, D::whiles, D::dust_wetted},
              {}}});
    declare(VerbName::record, "record", Argument::text, "recorded", "Prints a box to write something down in.",
            "- record: Batch of the brake fluid", {});
    declare(VerbName::do_procedure, "do", Argument::procedure, "done", "Works another procedure here.",
            "- do: wheels-off", {});
    return all;
}

} // namespace

std::span<const Verb> all_verbs() {
    static const std::vector<Verb> all = make_verbs();
    return all;
}

const Verb& verb(VerbName name) {
    return all_verbs()[static_cast<std::size_t>(name)];
}

std::span<const Demand> step_demands() {
    static constexpr std::array all{Demand::vapour_clear};
    return all;
}

std::span<const Effect> step_effects() {
    static constexpr std::array all{Effect::leave_vapour};
    return all;
}

std::string_view word(Debt debt) {
    static constexpr std::array<std::string_view, debt_count> words{
        "locker", "degrease",   "lubricant", "fill",  "bleed", "prime",      "circulate",
        "level",  "leak-check", "adjust",    "prove", "renew", "locker-set", "as-it-came"};
    return words[static_cast<std::size_t>(debt)];
}

std::span<const Proof> proofs(CircuitSort sort) {
    static constexpr std::array hydraulic{Proof{Debt::fill, 0}, Proof{Debt::bleed, 1}, Proof{Debt::prime, 2},
                                          Proof{Debt::level, 3}, Proof{Debt::leak_check, 3}};
    static constexpr std::array oil{Proof{Debt::fill, 0}, Proof{Debt::circulate, 1}, Proof{Debt::level, 2},
                                    Proof{Debt::leak_check, 2}};
    // It is bled before it has gone round or after, hot or cold.
    static constexpr std::array coolant{Proof{Debt::fill, 0}, Proof{Debt::circulate, 1}, Proof{Debt::bleed, 1},
                                        Proof{Debt::level, 2}, Proof{Debt::leak_check, 2}};
    static constexpr std::array gear_oil{Proof{Debt::fill, 0}, Proof{Debt::level, 1}, Proof{Debt::leak_check, 2}};
    static constexpr std::array fuel{Proof{Debt::leak_check, 0}};
    switch (sort) {
    case CircuitSort::hydraulic:
        return hydraulic;
    case CircuitSort::engine_oil:
        return oil;
    case CircuitSort::coolant:
        return coolant;
    case CircuitSort::gear_oil:
        return gear_oil;
    case CircuitSort::fuel:
        return fuel;
    }
    return {};
}

} // namespace benchleaf::model
