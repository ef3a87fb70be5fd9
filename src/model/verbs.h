// The verbs of the language, each declared once: its word, what it is done to, what that demands, what place it leaves
// and which debts it makes and pays. The reader, the schema and the reference page take the words from here; the
// abstract machine of proof/ interprets the demands and effects and knows no verb by name. A new verb is a new row.
#pragma once

#include "model/model.h"

#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

namespace benchleaf::model {

// What stands after the verb's word.
enum class Argument : std::uint8_t {
    items, // parts and fasteners
    fasteners,
    parts,
    circuits,
    adjustments,
    limits,
    item_to_place,    // { caliper: swung }
    setting_to_state, // { front-end: jacked }
    consumable,
    text,
    time,
    procedure
};

// What an item can owe. An item with a debt is not at rest. `bleed` is owed vent by vent; the machine keeps one bit for
// each. `renew` is owed by what is renewed together with something that was renewed. The last two are no debts but facts: the thread-locker on it
// has set; it is the one that the vehicle came with.
enum class Debt : std::uint8_t {
    locker,
    degrease,
    lubricant,
    fill,
    bleed,
    prime,
    circulate,
    level,
    leak_check,
    adjust,
    prove,
    renew,
    locker_set,
    as_it_came
};
inline constexpr std::size_t debt_count = 14;
std::string_view word(Debt debt); // locker, degrease, lubricant, fill, …
constexpr std::uint64_t bit(Debt debt) {
    return std::uint64_t{1} << static_cast<unsigned>(debt);
}

// What must hold before a verb is done to an item. Each is judged by the checks of proof/checks that name it.
enum class Demand : std::uint8_t {
    place,             // the item is in one of the places that the verb starts from
    reach,             // all that it is behind or inside is away from rest
    needs,             // its `needs` hold
    whiles,            // the verb's own `while` holds
    slacken_whiles,    // from tight, what `while` says of slacken holds, too
    unlocked,          // what locks it is off or, if that is threaded, loose
    holders_off,       // a part that comes off: every holder is off
    place_freed,       // a part that is moved: what that place lists is off
    still_held,        // a part that is moved, or a fastener that comes off: what is out of its place keeps a holder
    holders_clear,     // a part that goes on: the holders that go in after it are still off
    nothing_shut_in,   // a part that goes on: everything behind or inside it is at rest
    holds_something,   // a fastener that goes in: what it holds is on
    pinches_something, // a fastener that closes a slot: what it holds is in it
    locks_tight,       // a pin that goes in, a lock that is tightened: what it locks is tight
    locker_applied,    // no locker is owed
    locker_in_time,    // its wet locker has not had the time to set
    first_tightening,  // what is fit for one tightening was not tightened before
    degreased,         // no degreasing is owed
    thread_bare,       // of the thread-locker that it wants: the fastener is off
    thread_dry,        // of a lubricant: the thread was not cleaned for thread-locker, nor carries any
    locker_wet,        // no locker that has set
    openers_tight,     // of the circuit: all that opens it is tight
    one_vent_open,     // of a circuit that is filled or bled: no vent is open but those at work
    vents_tight,       // of the circuit: its vents are tight again
    proofs_before,     // of the circuit or adjustment: what comes before in its order is paid
    moved_held,        // of the circuit: everything that it moves is on and held
    moved_at_rest,     // of the circuit: everything that it moves, and all that is inside of, at rest, holders tight
    one_rung,          // of a setting: the state is the next or the one before
    users_at_rest,     // of a setting that is left: what needs that state is at rest and held by at least snug holders
    surface_safe,      // what is put on the item harms none of its surfaces
    seals_safe,        // what is put on it, or filled in, spoils no seal of the circuit that it touches
    drained,           // of a circuit that is filled whole: the old was let out
    way_out,           // of a circuit that is opened: something of it is away, or the step says how
    not_running,       // of what opens a circuit: the engine does not send it round
    settled,           // of the circuit: its fluid had its time to settle
    may_meet,          // and meets nothing that it must not mix with
    dust_wetted,       // where the step blows or brushes dry: the item has no dry brake dust on it
    vapour_clear       // of a step, whatever it is done to: where it has a flame, no flammable vapour hangs in the air
};

// What a verb leaves, besides the place.
enum class Effect : std::uint8_t {
    owe_opened, // the circuit that the item opens owes all its sort's proofs; where it is the filler cap, level and leak-check
    owe_moved,      // the circuit that moves the part owes prime and level
    owe_vented,     // the circuit that the item vents, once it is bled: all that comes after bleeding
    owe_all_proofs, // the circuit owes all its sort's proofs
    let_out, // the fluid runs out of the circuit, of what the fastener opens, or of what the part stands in, which owes all its sort's proofs
    keep_in, // the circuit's fluid is in
    disturb, // what names the item in disturbed-by or after owes adjust and prove again
    owe_locker,    // locker and degrease, if the fastener has a locker
    owe_lubricant, // what is never used again owes its lubricant: the next one comes dry
    forget_locker, // the old locker is broken, or the new one is wet
    pay_locker,    // if the consumable is the locker that the fastener wants
    pay_lubricant, // if the consumable is the lubricant that the item is to carry
    pay_degrease,
    pay_fill,
    pay_bleed, // of the circuit that the vent vents, at this vent
    pay_prime,
    pay_circulate,
    pay_level,
    pay_leak_check,
    pay_adjust,
    pay_prove, // of the adjustments that the limit proves, if all that disturbs them is tight
    torqued,   // its torque is on it: the close-out says so
    wet_dust,  // the brake dust on it is laid, if a consumable of the step wets
    wash_off,  // what was put on it before is off; it owes its lubricant
    put_on,    // the consumables of the step stay on it
    as_new, // it is another one: no dust, nothing on it, not even its lubricant; what is renewed together with it and is not new owes that
    new_if_never_reused, // where it is never reused, each one that is fitted is another one
    fluid_fumes,         // the fluid of the circuit comes to light, and fumes if it is flammable
    stir,                // the circuit's fluid has to settle anew, if that takes it a time
    stir_by_setting,     // likewise that of each circuit which goes round in the state that is left or entered
    // Of a step, whatever it is done to:
    leave_vapour, // its flammable consumables hang in the air
    air_out,      // what clears in the time waited is gone
    settle,       // what settles in the time waited has settled
    locker_sets,  // the thread-locker that sets in the time waited, or is waited for, has set
    new_reading,  // what it measures or inspects can be decided anew
    new_state     // likewise all that is read of the item
};

// On which sort of item a verb does what. Places are indices: fastener 0 tight 1 snug 2 loose 3 off; clip 0 in 1 off;
// part 0 on … last off.
enum class SortSet : std::uint8_t { fastener, clip, part, circuit, setting, adjustment, any };

// Places a verb starts from, as bits by index; `away` any but the resting one, `off_place` the last one.
enum class Starts : std::uint8_t {
    anywhere,
    tight_or_snug,
    not_off,
    loose,
    loose_or_snug,
    tight,
    off_place,
    resting,
    own_or_resting,
    own_place
};
enum class Leaves : std::uint8_t {
    same,
    rest,
    snug,
    loose,
    off_place,
    written
}; // written: the place or state in the step

struct Deed {
    SortSet on;
    Starts from;
    Leaves to;
    std::vector<Demand> demands;
    std::vector<Effect> effects;
};

struct Verb {
    VerbName name;
    std::string_view word; // slacken, leak-check, do
    Argument takes;
    std::string_view done;      // what was done to the item, for messages: "slackened"
    std::string_view help;      // one line
    std::string_view example;   // `- remove: lower-guide-bolt`
    std::vector<Deed> deeds;    // the first that fits the item's sort and where it goes
    std::vector<Effect> leaves; // once a step, whatever it is done to
};

std::span<const Verb> all_verbs(); // by VerbName
const Verb& verb(VerbName name);

// What every step demands and leaves, one in plain words too: tools and consumables go with any.
std::span<const Demand> step_demands();
std::span<const Effect> step_effects();

// The proofs that a circuit owes once opened, in the order in which they must be paid; those of one rank in either
// order.
struct Proof {
    Debt debt;
    std::uint8_t rank;
};
std::span<const Proof> proofs(CircuitSort sort);

} // namespace benchleaf::model
