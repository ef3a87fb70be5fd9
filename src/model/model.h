// What the files of a shop say, read as workshop things but not yet linked: names are still names. One struct a kind of
// thing; every member that a key fills is a `Given`, so that a thing may be given in part (a vehicle's own figures) and
// laid over another. The keys themselves (name, help, example, what they go with) are declared once in model/keys.h;
// the reader, the JSON Schema and the reference page are folds over that declaration.
#pragma once

#include "model/given.h"
#include "source/source.h"
#include "units/quantity.h"
#include "units/thread.h"
#include "units/tightening.h"

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace benchleaf::model {

using source::Span;
using source::Spanned;

// What a name stands for. `item` is any of the five sorts whose state a step can change.
enum class Refers : std::uint8_t {
    item,
    part,
    fastener,
    circuit,
    setting,
    adjustment,
    limit,
    torque,
    consumable,
    tool,
    tool_or_consumable,
    caution,
    catalogue,
    procedure,
    vehicle,
    step,          // the id of a step of the same procedure
    limit_or_step, // what a decision rests on: a limit, or the id of an inspection
    axis,
    place,   // a place of a part or fastener, or a state of a setting
    feature, // what a vehicle `has`
    free     // a name of the author's own that nothing else declares (a surface, a kind of feature)
};

// A name as written, `name` or `catalogue/name`.
template <Refers to>
struct Ref {
    std::string name;
    Span span;
};

template <Refers to>
using Refs = std::vector<Ref<to>>;

// `{ key: value }` in the order in which it was written.
template <class K, class V>
struct Entry {
    K key;
    V value;
};
template <class K, class V>
using Entries = std::vector<Entry<K, V>>;

// A quantity of the wanted sort.
template <units::Wanted wanted>
struct Measure {
    units::Quantity quantity;
};
template <units::Wanted wanted>
struct MeasureRange {
    units::Range range;
};

using Conditions = Entries<Ref<Refers::feature>, Refs<Refers::free>>; // { front-brake: [sliding-caliper] }
using Places = Entries<Ref<Refers::item>, Ref<Refers::place>>;        // { front-end: on-stands }
using WhileOf = Entries<Ref<Refers::free>, Places>;                   // { torque: { front-end: down } }

// -- Things in a catalogue
// -----------------------------------------------------------------------------------------------
enum class System : std::uint8_t {
    brake,
    wheel,
    steering,
    suspension,
    engine,
    fuel,
    cooling,
    driveline,
    electrical,
    body,
    frame
};
enum class Surface : std::uint8_t { friction, sliding, contact, sealing, bearing };
enum class Duty : std::uint8_t { clamp, seal, adjust, hollow, pinch };
enum class Hand : std::uint8_t { right, left };
enum class SecuredBy : std::uint8_t { torque, fit };
enum class Pattern : std::uint8_t { none, star };
enum class Reuse : std::uint8_t { allowed, never };
enum class CircuitSort : std::uint8_t { hydraulic, engine_oil, coolant, gear_oil, fuel };
enum class ThreadState : std::uint8_t { dry, oiled, thread_locked, paste };
enum class ConsumableSort : std::uint8_t { lubricant, solvent, thread_locker, fluid, sealant, cleaner, other };
enum class CautionLevel : std::uint8_t { danger, warning, caution, notice };
enum class Rest : std::uint8_t { first, any };

struct Caution {
    Given<CautionLevel> level;
    Given<std::string> hazard;
    Given<std::string> avoid;
};

// What every item may carry.
struct Part {
    Given<std::string> name;
    Given<System> system;
    Given<std::int64_t> count;
    Given<Refs<Refers::fastener>> held_by;
    Given<Entries<Ref<Refers::free>, Refs<Refers::fastener>>>
        also; // further places, and the fasteners that must be off for each
    Given<Refs<Refers::item>> behind;
    Given<Ref<Refers::part>> inside;
    Given<Ref<Refers::circuit>> circuit; // what moves it
    Given<Entries<Ref<Refers::free>, Spanned<Surface>>> surfaces;
    Given<Refs<Refers::part>> renew_together;
    Given<Refs<Refers::part>> renew_with;
    Given<Reuse> reuse;
    Given<Ref<Refers::consumable>> lubricant;
    Given<Places> needs;
    Given<WhileOf> whiles;
    Given<Ref<Refers::axis>> each;
    Given<Conditions> only_on;
    Given<Refs<Refers::caution>> cautions;
};

struct Fastener {
    bool unread = false; // as of a torque
    Given<std::string> name;
    Given<std::int64_t> count;
    Given<units::Thread> thread;
    Given<std::string> property_class; // key: class
    Given<std::string> head;
    Given<Duty> duty;
    Given<Hand> hand;
    Given<Refs<Refers::item>> behind;
    Given<Ref<Refers::part>> inside;
    Given<Ref<Refers::consumable>> threadlock;
    Given<Ref<Refers::consumable>> lubricant;
    Given<bool> critical;
    Given<std::string> not_critical; // why not
    Given<Ref<Refers::circuit>> opens;
    Given<Ref<Refers::circuit>> vents;
    Given<Refs<Refers::part>> renew_with;
    Given<SecuredBy> secured_by;
    Given<Ref<Refers::fastener>> locks;
    Given<Reuse> reuse;
    Given<Pattern> pattern;
    Given<std::int64_t> passes;
    Given<Measure<units::Wanted::meter>> recheck_after;
    Given<Places> needs;
    Given<WhileOf> whiles;
    Given<Ref<Refers::axis>> each;
    Given<Conditions> only_on;
    Given<Refs<Refers::caution>> cautions;
};

// It holds by its preload.
inline bool clamps(const Fastener& fastener) {
    return !fastener.duty || fastener.duty->value == Duty::clamp || fastener.duty->value == Duty::pinch;
}

struct Circuit {
    Given<std::string> name;
    Given<CircuitSort> sort;
    Given<Ref<Refers::consumable>> fluid;
    Given<std::string> seals; // the rubber: epdm, nbr …
    Given<Measure<units::Wanted::volume>> holds;
    Given<Measure<units::Wanted::time>> settles_in;
    Given<Refs<Refers::item>> behind;
    Given<Places> needs;
    Given<WhileOf> whiles;
    Given<Ref<Refers::axis>> each;
    Given<Conditions> only_on;
    Given<Refs<Refers::caution>> cautions;
};

struct Setting {
    Given<std::string> name;
    Given<Refs<Refers::free>> states; // a ladder; the first is at rest
    Given<Rest> rest;
    Given<Refs<Refers::free>> unsafe_to_leave; // the states in which work must not stop
    Given<Places> needs;
    Given<WhileOf> whiles;
    Given<Ref<Refers::axis>> each;
    Given<Conditions> only_on;
    Given<Refs<Refers::caution>> cautions;
};

struct Adjustment {
    Given<std::string> name;
    Given<Refs<Refers::item>> disturbed_by;
    Given<Refs<Refers::limit>> proved_by;
    Given<Refs<Refers::item>> after; // adjustments, or items that have to be settled before it
    Given<Refs<Refers::item>> behind;
    Given<Places> needs;
    Given<WhileOf> whiles;
    Given<Ref<Refers::axis>> each;
    Given<Conditions> only_on;
    Given<Refs<Refers::caution>> cautions;
};

// -- Figures, substances, tools
// ---------------------------------------------------------------------------------------------
struct Torque {
    Given<units::Tightening> value;
    Given<ThreadState> threads;
    Given<std::string> source;
    bool unread = false; // a key of it could not be read: what is missing may be what that was to say
};

struct Difference {
    Given<Ref<Refers::axis>> over;
    Given<Measure<units::Wanted::limit>> maximum;
};

struct Limit {
    bool unread = false;     // as of a torque
    Given<std::string> name; // "lining thickness"; without one, the card says the item's name
    Given<Refs<Refers::item>> of;
    Given<Measure<units::Wanted::limit>> new_size; // key: new
    Given<Measure<units::Wanted::limit>> minimum;
    Given<Measure<units::Wanted::limit>> maximum;
    Given<MeasureRange<units::Wanted::limit>> within;
    Given<Measure<units::Wanted::limit>> reads_to;
    Given<Measure<units::Wanted::limit>> uncertainty;
    Given<std::string> unit;       // where no figure carries it
    Given<std::string> wears_with; // km, mi or h
    Given<std::int64_t> points;
    Given<Difference> difference;
    Given<std::string> source;
    Given<Refs<Refers::caution>> cautions;
};

struct Consumable {
    Given<std::string> name;
    Given<ConsumableSort> sort;
    Given<std::vector<Spanned<Surface>>> unsafe_on;
    Given<std::vector<Spanned<std::string>>> spoils; // rubbers
    Given<Refs<Refers::consumable>> never_mix_with;
    Given<bool> wets;
    Given<bool> flammable;
    Given<Measure<units::Wanted::time>> clears_in;
    Given<Measure<units::Wanted::time>> sets_in;
    Given<Measure<units::Wanted::time>> full_in;
    Given<std::string> unit; // in which amounts are added up
    Given<Refs<Refers::caution>> cautions;
};

struct Tool {
    Given<std::string> name;
    Given<bool> blows;
    Given<bool> flame;
    Given<bool> dry_brush;
    Given<Refs<Refers::caution>> cautions;
};

// A declared thing with the name it is declared under.
template <class T>
struct Named {
    Spanned<std::string> id; // the key; its span is where the thing is declared
    Span whole;
    T value;
};

struct Catalogue {
    Spanned<std::string> id;
    Given<Refs<Refers::catalogue>> uses;
    Given<std::vector<Named<Part>>> parts;
    Given<std::vector<Named<Fastener>>> fasteners;
    Given<std::vector<Named<Circuit>>> circuits;
    Given<std::vector<Named<Setting>>> settings;
    Given<std::vector<Named<Adjustment>>> adjustments;
    Given<std::vector<Named<Torque>>> torques; // by the fastener's name
    Given<std::vector<Named<Limit>>> limits;
    Given<std::vector<Named<Consumable>>> consumables;
    Given<std::vector<Named<Tool>>> tools;
    Given<std::vector<Named<Caution>>> cautions;
};

// -- A procedure
// ---------------------------------------------------------------------------------------------------------- The verbs,
// in the order of the table in model/verbs.h.
enum class VerbName : std::uint8_t {
    slacken,
    remove,
    fit,
    snug,
    torque,
    recheck,
    renew,
    move,
    set,
    open,
    press_back,
    fill,
    bleed,
    prime,
    circulate,
    level,
    leak_check,
    adjust,
    clean,
    apply,
    measure,
    inspect,
    wait,
    mark,
    record,
    do_procedure
};

// What a verb is done to: a name, and for `move` and `set` the place or state it goes to.
struct Target {
    std::string name; // as written
    Span span;
    Given<std::string> place;
};

struct VerbUse {
    VerbName verb{};
    Span key;                                 // the verb's own word
    std::vector<Target> targets;              // of `record` none
    Given<std::string> text;                  // of `record`
    Given<Measure<units::Wanted::time>> time; // of `wait`
};

// What a contract says of an item.
struct Entering {
    Given<std::string> place; // `ready` for circuits and adjustments
    Given<std::vector<Spanned<std::string>>> owes;
};
using Contract = Entries<Ref<Refers::item>, Entering>;

// Where something is on a picture, in hundredths of a percent from its left and from its upper edge; and where its number stands, with a line
// from there to the thing, if that is not on the thing itself.
struct Spot {
    std::int32_t across = 0;
    std::int32_t down = 0;
    bool apart = false;
    std::int32_t number_across = 0;
    std::int32_t number_down = 0;
    bool operator==(const Spot&) const = default;
};

// What is pointed at on a picture, in the order of its numbers: an item by its name, or words.
using Marks = Entries<Spanned<std::string>, std::vector<Spanned<Spot>>>;

struct Picture {
    Given<std::string> file; // from the shop's folder
    Given<std::string> shows;
    Given<Marks> marks;
};

struct Step;

// A list of steps. It is a class of its own only so that its members can be written down after Step is complete: a step holds lists of
// steps, and clang 14 needs to know how to make one before it has seen the end of Step.
struct Steps : std::vector<Step> {
    Steps() noexcept;
    Steps(const Steps&);
    Steps(Steps&&) noexcept;
    Steps& operator=(const Steps&);
    Steps& operator=(Steps&&) noexcept;
    ~Steps();
};

struct Again {
    Given<Ref<Refers::step>> from;
    Given<std::string> until;                         // a question, or …
    Given<Refs<Refers::limit_or_step>> until_decided; // … what decides it
    Given<std::int64_t> at_most;
    Given<Steps> otherwise; // key: else
};

// One entry of a list of steps. Exactly one of verb, plain, section, ask, decide, if_answered, again, stop says what it
// is; a step that has only `say` is plain. Where that was not so, a message was given and the step is a hole.
struct Step {
    Span span; // the whole entry
    bool hole = false;

    std::optional<VerbUse> verb;
    Given<std::string> plain;
    Given<std::string> section;
    Given<std::string> ask;
    Given<Refs<Refers::limit_or_step>> decide;
    Given<Entries<Ref<Refers::step>, Spanned<bool>>> if_answered; // the answers, yes or no; all must hold
    Given<Again> again;
    Given<std::string> stop;

    // of questions
    Given<Steps> if_so;
    Given<Steps> if_not;
    Given<Steps> steps; // of if-answered
    // of sections
    Given<bool> once;
    // of verbs
    Given<Refs<Refers::item>> to;
    Given<Refs<Refers::free>> surface; // of what it is applied to
    Given<Measure<units::Wanted::amount>> amount;
    Given<Refs<Refers::tool_or_consumable>> with;
    Given<std::string> look_for;
    Given<Ref<Refers::consumable>> wait_for; // key: for
    Given<std::string> record_value;         // `record: value` on a torque
    // of any step
    Given<std::string> id;
    Given<std::string> say;
    Given<std::string> why;
    Given<std::vector<Caution>> own_cautions; // key: caution, one or a list, written out …
    Given<Refs<Refers::caution>> cautions;    // … or by name
    Given<Refs<Refers::tool>> tool;
    Given<std::string> picture;    // its file alone …
    Given<Picture> picture_marked; // … or what is pointed at on it, too
    Given<Measure<units::Wanted::time>> minutes;
    Given<Conditions> when;
    Given<Entries<Ref<Refers::axis>, Refs<Refers::free>>> only; // { side: left }
    Given<Entries<Ref<Refers::free>, Spanned<std::string>>> allow;
    Given<bool> second_check;
};

inline Steps::Steps() noexcept = default;
inline Steps::Steps(const Steps&) = default;
inline Steps::Steps(Steps&&) noexcept = default;
inline Steps& Steps::operator=(const Steps&) = default;
inline Steps& Steps::operator=(Steps&&) noexcept = default;
inline Steps::~Steps() = default;

// The file of its picture; nullptr where it has none.
inline const Spanned<std::string>* picture_file(const Step& step) {
    if (step.picture) return &*step.picture;
    return step.picture_marked && step.picture_marked->value.file ? &*step.picture_marked->value.file : nullptr;
}

struct Procedure {
    Spanned<std::string> id;
    Given<std::string> title;
    Given<std::int64_t> revision;
    Given<Refs<Refers::catalogue>> uses;
    Given<Conditions> fits;
    Given<Ref<Refers::axis>> each;
    Given<Refs<Refers::free>> axle;
    Given<std::string> why;
    Given<Contract> starts_with;
    Given<Contract> ends_with;
    Given<Refs<Refers::caution>> cautions;
    Given<std::vector<Spanned<std::string>>> protection; // personal protection, in words
    Given<std::vector<Named<Torque>>> torques;
    Given<std::vector<Named<Limit>>> limits;
    Given<Steps> steps;
};

// -- A vehicle, a job, the shop
// ----------------------------------------------------------------------------------------------- What a vehicle says
// of an item that differs from the catalogue: any key of the item's sort.
struct ItemDifference {
    // The reader fills the struct of the sort only when the name is looked up (linked/), so the keys are kept for every
    // sort.
    Part part;
    Fastener fastener;
    Circuit circuit;
    Setting setting;
    Adjustment adjustment;
    std::vector<Spanned<std::string>> keys; // which keys were given
};

struct Vehicle {
    Spanned<std::string> id;
    Given<std::string> name;
    Given<Entries<Ref<Refers::free>, Ref<Refers::free>>> has;
    Given<Entries<Ref<Refers::free>, Refs<Refers::free>>> axes;
    Given<Entries<Ref<Refers::free>, Refs<Refers::free>>> wheels; // its axles from the front, each from left to right
    Given<Entries<Ref<Refers::item>, Entries<Ref<Refers::axis>, Refs<Refers::free>>>> only;
    Given<std::vector<Named<Torque>>> torques;
    Given<std::vector<Named<Limit>>> limits;
    Given<std::vector<Named<ItemDifference>>> items;
    Given<Refs<Refers::caution>> cautions;
    Given<Refs<Refers::free>> formerly; // of files that are no longer there, or are one of several now
};

struct Job {
    Spanned<std::string> id;
    Given<Ref<Refers::vehicle>> vehicle;
    Given<Entries<Ref<Refers::free>, Spanned<std::string>>> identity; // registration, frame, engine …
    Given<Measure<units::Wanted::meter>> meter;
    Given<Measure<units::Wanted::meter>> next_service; // relative (`+6 000 km`) or a figure to reach
    Given<std::string> next_service_date;
    Given<std::chrono::year_month_day> date;
    Given<Refs<Refers::procedure>> procedures; // key: do
    Given<std::string> customer;
    Given<std::string> note;
    Given<std::vector<Named<Torque>>> torques;
    Given<std::vector<Named<Limit>>> limits;
};

struct Wrench {
    Given<std::string> name;
    Given<MeasureRange<units::Wanted::torque>> range;
    Given<Measure<units::Wanted::percentage>> accuracy;
    Given<Measure<units::Wanted::length>> length;
    Given<std::string> serial;
    Given<std::chrono::year_month_day> calibrated_until;
};

enum class Paper : std::uint8_t { a4, letter, a5 };
enum class SecondCheck : std::uint8_t { other, same_person_later };

struct Prints {
    Given<std::vector<Spanned<std::string>>> torque; // one or two units
    Given<std::vector<Spanned<std::string>>> length;
    Given<std::vector<Spanned<std::string>>> distance;
    Given<std::vector<Spanned<std::string>>> volume;
    Given<std::vector<Spanned<std::string>>> pressure;
};

struct Shop {
    Spanned<std::string> id;
    Given<std::string> name;
    Given<Paper> paper;
    Given<std::string> language;
    Given<Prints> prints;
    Given<std::string> margin; // a plain number, at least 1, as written
    Given<SecondCheck> second_check;
    Given<std::vector<Named<Wrench>>> wrenches;
    Given<std::vector<Spanned<std::string>>> signs;
    Given<std::string> foot; // added below the card's own foot
};

// -- A record
// ----------------------------------------------------------------------------------------------------------- What was read,
// found, answered and signed on the cards of one job. `at` is a value of the axis on which the thing is there several times, and is not
// given where there is one of it. Names are the shop's; one that the shop no longer has is history all the same, so none is refused.
enum class Outcome : std::uint8_t { finished, stopped, not_to_be_driven };
enum class Grade : std::uint8_t { good, advise, act_now };
enum class Held : std::uint8_t { within, not_to_next_service, doubtful, past }; // as mechanics::Verdict

// A figure that was read, with what it was held against.
struct ReadFigure {
    Given<std::int64_t> step;
    Given<Ref<Refers::limit>> limit;
    Given<Ref<Refers::item>> of;
    Given<Ref<Refers::free>> at;
    Given<std::int64_t> round;                                       // of a repeat: 2 is the first one once more
    Given<std::vector<Spanned<Measure<units::Wanted::limit>>>> read; // of several points: each
    Given<std::string> not_read;                                     // why not
    Given<Measure<units::Wanted::limit>> minimum;
    Given<Measure<units::Wanted::limit>> maximum;
    Given<MeasureRange<units::Wanted::limit>> within;
    Given<Measure<units::Wanted::limit>> uncertainty;
    Given<Measure<units::Wanted::limit>> keep;
    Given<Held> verdict;
    Given<Measure<units::Wanted::meter>> limit_at; // of the meter, where the limit is expected
};

struct FoundThing { // by looking
    Given<std::int64_t> step;
    Given<Ref<Refers::item>> of;
    Given<Ref<Refers::free>> at;
    Given<Grade> found;
};

struct Answered {
    Given<std::int64_t> step;
    Given<Ref<Refers::free>> at;
    Given<std::int64_t> round;
    Given<std::string> asked;
    Given<Spanned<bool>> answer;
};

struct Tightened {
    Given<std::int64_t> step;
    Given<Ref<Refers::item>> of;
    Given<Ref<Refers::free>> at;
    Given<std::int64_t> round;
    Given<std::string> to;   // "23 N·m"
    Given<std::string> read; // where the tool shows a value
    Given<std::string> by;   // initials, where it is critical
};

struct Checked { // by a second person
    Given<std::int64_t> step;
    Given<Ref<Refers::free>> at;
    Given<std::int64_t> round;
    Given<std::string> by;
    Given<std::string> time;        // of who checks his own work later
    Given<std::string> independent; // "not independent", of the same
};

struct Renewed {
    Given<std::int64_t> step;
    Given<Ref<Refers::item>> of;
    Given<Ref<Refers::free>> at;
    Given<std::int64_t> count;
    Given<std::string> batch; // part number or batch
};

struct Written { // what `record` asked for
    Given<std::int64_t> step;
    Given<Ref<Refers::free>> at;
    Given<std::string> asked;
    Given<std::string> written;
};

struct FromEarlier { // what an earlier visit left open: that of its item, or what was written
    Given<Ref<Refers::free>> job;
    Given<Ref<Refers::item>> of;
    Given<Ref<Refers::free>> at;
    Given<std::string> also_found;
    Given<std::string> declined;
    Given<std::string> recheck;
    Given<Spanned<bool>> done;
};

struct StoppedAt {
    Given<std::string> card; // its number
    Given<std::string> by;   // who signed it then
    Given<std::string> date;
    Given<std::string> time;
    Given<std::string> step;
    Given<std::string> state;
};

struct RecordedCard {
    Given<Ref<Refers::procedure>> card;
    Given<std::string> title;
    Given<std::int64_t> revision;
    Given<std::string> digest;
    Given<std::vector<Spanned<std::string>>> since; // of an older card: what the shop's files say otherwise by now
    Given<std::vector<ReadFigure>> readings;
    Given<std::vector<FoundThing>> found;
    Given<std::vector<Answered>> answers;
    Given<std::vector<Tightened>> tightened;
    Given<std::vector<Checked>> checked;
    Given<std::vector<Renewed>> renewed;
    Given<std::vector<Written>> written;
    Given<std::vector<std::int64_t>> not_ticked; // steps
    Given<std::vector<Spanned<std::string>>> also_found;
    Given<std::vector<Spanned<std::string>>> declined;
    Given<std::vector<FromEarlier>> earlier;
    Given<std::vector<Spanned<std::string>>> recheck; // torques to be checked after the vehicle has left
    Given<std::vector<Spanned<std::string>>> later;   // what the customer has to know
    Given<std::string> done_by;
    Given<std::string> checked_by;
    Given<std::string> wrenches;
    Given<std::string> gauges;
    Given<std::string> date;
    Given<std::string> time;
};

struct Used { // a consumable or a part, over all cards
    Given<std::string> what;
    Given<std::string> amount;
};

struct Record {
    Spanned<std::string> id;
    Given<Ref<Refers::free>> job;
    Given<Ref<Refers::vehicle>> vehicle;
    Given<std::string> name; // of the vehicle
    Given<Entries<Ref<Refers::free>, Spanned<std::string>>> identity;
    Given<Measure<units::Wanted::meter>> meter;
    Given<std::chrono::year_month_day> date;
    Given<Measure<units::Wanted::meter>> next_service;
    Given<std::string> next_service_date;
    Given<std::string> customer;
    Given<std::string> note;            // what the customer said
    Given<Ref<Refers::free>> corrects;  // a record, which this one takes the place of
    Given<Ref<Refers::free>> continues; // likewise, of work that was stopped
    Given<std::string> reason;          // of a correction
    Given<Outcome> outcome;
    Given<std::vector<StoppedAt>> stopped;
    Given<std::vector<RecordedCard>> cards;
    Given<std::vector<Used>> used;
    Given<Entries<Spanned<std::string>, Spanned<std::string>>> boxes; // as they were filled in, by their names
    Given<std::string> seal;                                          // SHA-256 of all that stands before it
};

// What was filled in on the cards of a job, before a record is made of it: each box by its name.
struct Answers {
    Spanned<std::string> id; // of the job
    Given<Entries<Spanned<std::string>, Spanned<std::string>>> boxes;
};

// Somebody checked a procedure as it then was. One file each, so that those of two people never meet in one.
struct Approval {
    Spanned<std::string> id;
    Given<Ref<Refers::procedure>> procedure;
    Given<std::int64_t> revision; // for who reads it
    Given<std::string> digest;    // of the procedure, 64 hexadecimal digits
    Given<std::string> by;
    Given<std::chrono::year_month_day> date;
    Given<std::string> note;
    Given<std::string> signature; // of ssh-keygen
};

// A whole shop, file by file in the order of their paths.
struct Model {
    std::vector<Shop> shops; // one, unless a mistake was reported
    std::vector<Catalogue> catalogues;
    std::vector<Vehicle> vehicles;
    std::vector<Procedure> procedures;
    std::vector<Job> jobs;
    std::vector<Record> records;
    std::vector<Answers> answers;
    std::vector<Approval> approvals;
    // Stems of files that could not be read as anything: what is not known may stand there. Where a catalogue, a vehicle or the shop's own
    // file is among them, figures and names are lacking everywhere.
    std::vector<std::string> unread;
    bool unread_shared = false;
};

} // namespace benchleaf::model
