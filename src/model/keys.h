// Every key of the language, declared once: name, member, help, example. `Keys<T>::all` is a tuple of the keys of T; the
// reader, the printer, the JSON Schema and the reference page are folds over it, so a new key is a new row here and
// nothing else. Include it in .cpp files only, and in few of them. The verbs are declared in verbs.h in the same way.
#pragma once

#include "model/key.h"
#include "model/words.h"

#include <tuple>

namespace benchleaf::model {

template <class T>
struct Keys; // `called`: what a T is called; `all`: its keys; `about`: one or two sentences for the reference page

template <class T>
concept Keyed = requires {
    Keys<T>::all;
};

// `f` with each key of T in turn.
template <class T, class F>
constexpr void for_each_key(F&& f) {
    std::apply([&f](const auto&... keys) { (f(keys), ...); }, Keys<T>::all);
}

// Which of the two members an EitherKey fills (read.cpp).
bool is_name_or_list(const syntax::Syntax& syntax, syntax::NodeId node);
bool is_map(const syntax::Syntax& syntax, syntax::NodeId node);

// -- Keys that several sorts of item carry ----------------------------------------------------------------------------
template <class T>
constexpr auto name_key = key("name", &T::name, "what the card prints", "name: lower guide bolt").needed();
template <class T>
constexpr auto behind_key = key("behind", &T::behind, "what must be away from rest before this can be reached",
                                "behind: [road-wheel]");
template <class T>
constexpr auto needs_key = key("needs", &T::needs, "the places in which other items must be for any work on this one",
                               "needs: { front-end: on-stands }");
template <class T>
constexpr auto while_key = key("while", &T::whiles, "likewise, but for the named verb alone",
                               "while: { torque: { front-end: down } }")
                               .keyed_by_verbs();
template <class T>
constexpr auto each_key = key("each", &T::each, "the axis along which there are several of it", "each: side");
template <class T>
constexpr auto only_on_key = key("only-on", &T::only_on, "the vehicles that have it, by what they `has`",
                                 "only-on: { front-brake: sliding-caliper }");
template <class T>
constexpr auto cautions_key = key("cautions", &T::cautions, "cautions to print before the first step that touches it",
                                  "cautions: [brake-dust]");
template <class T>
constexpr auto source_key = key("source", &T::source, "where the figure comes from", "source: maker's manual, page 41");
template <class T>
constexpr auto reuse_key = key("reuse", &T::reuse, "`never`: each time it is fitted, a new one is taken",
                               "reuse: never");
template <class T>
constexpr auto renew_with_key = key("renew-with", &T::renew_with, "parts that are renewed each time this is fitted",
                                    "renew-with: [drain-washer]");

// -- Things in a catalogue --------------------------------------------------------------------------------------------
template <>
struct Keys<Caution> {
    static constexpr std::string_view called = "caution";
    static constexpr std::string_view about =
        "What can hurt, and how not to get hurt. The levels are those of ANSI Z535.";
    static constexpr auto all = std::tuple(
        key("level", &Caution::level,
            "how bad it is: `danger` kills, `warning` can kill, `caution` hurts, `notice` spoils", "level: warning")
            .needed(),
        key("hazard", &Caution::hazard, "what the danger is", "hazard: Brake dust harms the lungs.").needed(),
        key("avoid", &Caution::avoid, "how to keep clear of it", "avoid: Keep it wet. Wear an FFP3 mask.").needed());
};

template <>
struct Keys<Part> {
    static constexpr std::string_view called = "part";
    static constexpr std::string_view about =
        "A thing that comes off or is moved. Its places are `on`, its own further places, and `off`.";
    static constexpr auto all = std::tuple(
        name_key<Part>,
        key("system", &Part::system,
            "what it belongs to; what holds a brake, wheel, steering or suspension part is critical", "system: brake"),
        key("count", &Part::count, "how many there are of it, on each value of its axis", "count: 2"),
        key("held-by", &Part::held_by, "the fasteners that must all be off before it comes off",
            "held-by: [lower-guide-bolt, upper-guide-bolt]"),
        key("also", &Part::also,
            "further places, and the fasteners that must be off for each: `move: { caliper: swung }` wants the lower "
            "bolt out and "
            "leaves it on the upper one",
            "also: { swung: [lower-guide-bolt] }"),
        behind_key<Part>,
        key("inside", &Part::inside, "the part inside which it sits: it comes out only while that one is away",
            "inside: caliper"),
        key("circuit", &Part::circuit,
            "the circuit that moves it; of engine oil, coolant or fuel, that it stands in: with the part off it is "
            "open",
            "circuit: front-brake"),
        key("surfaces", &Part::surfaces, "its surfaces, and what each does",
            "surfaces: { lining: friction, ears: sliding }"),
        key("renew-together", &Part::renew_together, "the parts that are renewed as one set, on every side",
            "renew-together: [inner-pad, outer-pad]"),
        renew_with_key<Part>, reuse_key<Part>,
        key("lubricant", &Part::lubricant,
            "the grease or oil that it carries: whoever cleans or renews it puts that on again, with an "
            "`apply`",
            "lubricant: guide-grease"),
        needs_key<Part>, while_key<Part>, each_key<Part>, only_on_key<Part>, cautions_key<Part>);
};

template <>
struct Keys<Fastener> {
    static constexpr std::string_view called = "fastener";
    static constexpr std::string_view about = "A bolt, nut, screw or plug (places `tight`, `snug`, `loose`, `off`), "
                                              "or, with `secured-by: fit`, a clip, pin or "
                                              "cap (places `in`, `off`).";
    static constexpr auto all = std::tuple(
        name_key<Fastener>,
        key("count", &Fastener::count, "how many there are of it, on each value of its axis", "count: 4"),
        key("thread", &Fastener::thread, "the designation of its thread", "thread: M8x1.25")
            .excluded_by("secured-by", "fit"),
        key("class", &Fastener::property_class, "its property class or grade", "class: \"8.8\"")
            .excluded_by("secured-by", "fit"),
        key("head", &Fastener::head, "what the tool grips", "head: 12 mm hex"),
        key("duty", &Fastener::duty,
            "what it does; without this key it clamps. `pinch` closes a slot: what it holds slides out of it once it "
            "is loose. The preload is judged where it clamps or "
            "pinches",
            "duty: seal")
            .excluded_by("secured-by", "fit"),
        key("hand", &Fastener::hand, "which way its thread turns; the card prints a left-hand thread in words",
            "hand: left")
            .excluded_by("secured-by", "fit"),
        behind_key<Fastener>,
        key("inside", &Fastener::inside, "the part inside which it sits: it is reached only while that one is away",
            "inside: caliper"),
        key("threadlock", &Fastener::threadlock, "the thread-locker that it needs each time",
            "threadlock: locker-medium")
            .excluded_by("secured-by", "fit"),
        key("lubricant", &Fastener::lubricant,
            "the grease or oil that it carries: whoever cleans or renews it, or takes out what is never used again, "
            "puts that on again, with an `apply`",
            "lubricant: guide-grease"),
        key("critical", &Fastener::critical,
            "people are hurt if it comes loose: each torque gets a second check, or each fit of what is `secured-by: "
            "fit`",
            "critical: true"),
        key("not-critical", &Fastener::not_critical,
            "why it is not critical, although what it holds, vents or locks may hurt somebody",
            "not-critical: The wheel nuts clamp the drum.")
            .excluded_by("critical", "true"),
        key("opens", &Fastener::opens,
            "the circuit that is open while this is loose: who loosens it opens that, without a step `open`, and who "
            "takes it out lets the "
            "fluid out",
            "opens: engine-oil"),
        key("vents", &Fastener::vents, "the circuit that is bled here", "vents: front-brake"), renew_with_key<Fastener>,
        key("secured-by", &Fastener::secured_by, "`fit`: it is at rest once it is in, and takes no torque",
            "secured-by: fit"),
        key("locks", &Fastener::locks,
            "the fastener that cannot turn while this one is in or, if it is threaded, tight", "locks: axle-nut"),
        reuse_key<Fastener>,
        key("pattern", &Fastener::pattern, "`star`: the card draws the order in which the group is tightened",
            "pattern: star")
            .excluded_by("secured-by", "fit"),
        key("passes", &Fastener::passes, "in how many rounds the group is brought to its torque", "passes: 3")
            .excluded_by("secured-by", "fit"),
        key("recheck-after", &Fastener::recheck_after,
            "the distance, or the hours of work, after which its torque is checked again", "recheck-after: 50 km")
            .above_zero()
            .excluded_by("secured-by", "fit"),
        needs_key<Fastener>, while_key<Fastener>, each_key<Fastener>, only_on_key<Fastener>, cautions_key<Fastener>);
};

template <>
struct Keys<Circuit> {
    static constexpr std::string_view called = "circuit";
    static constexpr std::string_view about = "Something that is filled, bled, primed. Once opened, by a step `open` "
                                              "or by loosening what `opens` it, it owes the proofs of its sort.";
    static constexpr auto all = std::tuple(
        name_key<Circuit>,
        key("sort", &Circuit::sort, "which proofs it owes once it was open", "sort: hydraulic").needed(),
        key("fluid", &Circuit::fluid, "what it is filled with", "fluid: dot-4"),
        key("seals", &Circuit::seals, "the rubber of its seals", "seals: epdm").spelled(Spelling::lower_word),
        key("holds", &Circuit::holds, "how much it takes; `fill` prints it", "holds: 1.9 L").above_zero(),
        key("settles-in", &Circuit::settles_in, "how long, once it was filled or went round, until its level is true",
            "settles-in: 5 min")
            .above_zero(),
        behind_key<Circuit>, needs_key<Circuit>, while_key<Circuit>, each_key<Circuit>, only_on_key<Circuit>,
        cautions_key<Circuit>);
};

template <>
struct Keys<Setting> {
    static constexpr std::string_view called = "setting";
    static constexpr std::string_view about =
        "A state of the vehicle. The states are a ladder, gone up and down one at a time; the first is at rest.";
    static constexpr auto all = std::tuple(
        name_key<Setting>,
        key("states", &Setting::states, "its states in order; in the first one it leaves the shop",
            "states: [down, jacked, on-stands]")
            .needed(),
        key("rest", &Setting::rest, "`any`: the vehicle may come and leave in whichever state", "rest: any"),
        key("unsafe-to-leave", &Setting::unsafe_to_leave, "the states in which work must not stop",
            "unsafe-to-leave: jacked"),
        needs_key<Setting>, while_key<Setting>, each_key<Setting>, only_on_key<Setting>, cautions_key<Setting>);
};

template <>
struct Keys<Adjustment> {
    static constexpr std::string_view called = "adjustment";
    static constexpr std::string_view about = "Something that is set, and owed again once something disturbs it.";
    static constexpr auto all =
        std::tuple(name_key<Adjustment>,
                   key("disturbed-by", &Adjustment::disturbed_by,
                       "the items that put it out once they are loosened or moved; what `while` wants loose to set it, "
                       "does so anyhow",
                       "disturbed-by: [axle-nut]"),
                   key("proved-by", &Adjustment::proved_by, "the limits that have to be measured after it",
                       "proved-by: [chain-slack]"),
                   key("after", &Adjustment::after, "what has to be settled before it", "after: [shoe-clearance]"),
                   behind_key<Adjustment>, needs_key<Adjustment>, while_key<Adjustment>, each_key<Adjustment>,
                   only_on_key<Adjustment>, cautions_key<Adjustment>);
};

// -- Figures, substances, tools ---------------------------------------------------------------------------------------
template <>
struct Keys<Torque> {
    static constexpr std::string_view called = "torque";
    static constexpr std::string_view about = "How tight a fastener becomes. It stands under the fastener's name.";
    static constexpr auto all =
        std::tuple(key("value", &Torque::value,
                       "the torque, or its stages in order: `30 N·m`, `30 N·m turning` (read while it turns), `+90°`, "
                       "`back-off 90°`, `contact`, `next-slot`",
                       "value: 24 N·m ±10 %")
                       .needed(),
                   key("threads", &Torque::threads, "in which state of the threads the value holds", "threads: dry"),
                   source_key<Torque>);
};

template <>
struct Keys<Difference> {
    static constexpr std::string_view called = "difference";
    static constexpr std::string_view about = "How far the readings along an axis may lie apart.";
    static constexpr auto all =
        std::tuple(key("over", &Difference::over, "the axis", "over: side").needed(),
                   key("maximum", &Difference::maximum, "the largest difference that is allowed", "maximum: 1 mm")
                       .at_least(Least::zero)
                       .needed());
};

template <>
struct Keys<Limit> {
    static constexpr std::string_view called = "limit";
    static constexpr std::string_view about = "What a reading is compared with.";
    static constexpr auto all = std::tuple(
        key("name", &Limit::name, "what is measured; without it the card says the item's name",
            "name: lining thickness"),
        key("of", &Limit::of, "the items that are measured", "of: [inner-pad, outer-pad]").needed(),
        key("new", &Limit::new_size,
            "the size when new; what has to be left for the way to the next service is reckoned from it until there "
            "are readings",
            "new: 9.0 mm"),
        key("minimum", &Limit::minimum, "the least reading that is allowed", "minimum: 2.0 mm").excluded_by("within"),
        key("maximum", &Limit::maximum, "the largest reading that is allowed", "maximum: 0.10 mm")
            .excluded_by("within"),
        key("within", &Limit::within, "the range in which a reading has to lie", "within: 25..35 mm"),
        key("reads-to", &Limit::reads_to,
            "the step of the gauge that is used; needed with `wears-with` or `uncertainty`", "reads-to: 0.1 mm")
            .above_zero(),
        key("uncertainty", &Limit::uncertainty, "how far the reading may be off", "uncertainty: 0.1 mm").above_zero(),
        key("unit", &Limit::unit, "the unit of the reading, where no figure carries one", "unit: mm")
            .names_unit(units::Wanted::limit),
        key("wears-with", &Limit::wears_with,
            "what wear is counted on: distance or run hours; without it the limit itself is good enough, however long "
            "the way to the next service",
            "wears-with: km")
            .one_of(meter_words),
        key("points", &Limit::points, "at how many points the reading is taken", "points: 8"),
        key("difference", &Limit::difference, "how far the readings along an axis may lie apart",
            "difference: { over: side, maximum: 1 mm }"),
        source_key<Limit>, cautions_key<Limit>);
};

template <>
struct Keys<Consumable> {
    static constexpr std::string_view called = "consumable";
    static constexpr std::string_view about = "Grease, cleaner, fluid, thread-locker: what is used up.";
    static constexpr auto all = std::tuple(
        name_key<Consumable>, key("sort", &Consumable::sort, "what it does", "sort: lubricant").needed(),
        key("unsafe-on", &Consumable::unsafe_on, "the surfaces that it must never touch", "unsafe-on: [friction]"),
        key("spoils", &Consumable::spoils, "the rubbers that it attacks", "spoils: [epdm]")
            .spelled(Spelling::lower_word),
        key("never-mix-with", &Consumable::never_mix_with, "the consumables that must not meet it",
            "never-mix-with: [dot-5]"),
        key("wets", &Consumable::wets, "it lays dust, so that it can be wiped up", "wets: true"),
        key("flammable", &Consumable::flammable, "it burns, and its vapour does", "flammable: true"),
        key("clears-in", &Consumable::clears_in, "how long its vapour takes to clear", "clears-in: 10 min")
            .above_zero(),
        key("sets-in", &Consumable::sets_in, "how long until what it holds may not be turned any more",
            "sets-in: 20 min")
            .above_zero(),
        key("full-in", &Consumable::full_in, "how long until it holds in full", "full-in: 24 h").above_zero(),
        key("unit", &Consumable::unit, "the unit in which amounts are added up", "unit: mL")
            .names_unit(units::Wanted::amount),
        cautions_key<Consumable>);
};

template <>
struct Keys<Tool> {
    static constexpr std::string_view called = "tool";
    static constexpr std::string_view about = "What is worked with. A torque wrench stands in shop.yaml.";
    static constexpr auto all = std::tuple(
        name_key<Tool>, key("blows", &Tool::blows, "it blows air, and dust with it", "blows: true"),
        key("flame", &Tool::flame, "it has a flame or throws sparks", "flame: true"),
        key("dry-brush", &Tool::dry_brush, "it brushes dry, and raises dust", "dry-brush: true"), cautions_key<Tool>);
};

template <>
struct Keys<Catalogue> {
    static constexpr std::string_view called = "catalogue";
    static constexpr std::string_view about = "A file of things that procedures share, in the folder `catalogue`. "
                                              "Below each key stand things by name; one that "
                                              "needs only a name may be written `mudguard: mudguard`.";
    static constexpr auto all = std::tuple(
        key("uses", &Catalogue::uses, "further catalogues whose names are used here", "uses: [wheels, workshop]"),
        key("parts", &Catalogue::parts, "things that come off or are moved", "parts: { mudguard: mudguard }"),
        key("fasteners", &Catalogue::fasteners, "bolts, nuts, screws, plugs, clips, pins",
            "fasteners: { lid-clip: { name: lid clip, secured-by: fit } }"),
        key("circuits", &Catalogue::circuits, "what is filled, bled, primed",
            "circuits: { front-brake: { name: front brake, sort: hydraulic } }"),
        key("settings", &Catalogue::settings, "states of the vehicle",
            "settings: { engine: { name: engine, states: [stopped, running] } }"),
        key("adjustments", &Catalogue::adjustments, "what is set, and owed again once it is disturbed",
            "adjustments: { chain-tension: { name: chain tension, disturbed-by: [axle-nut] } }"),
        key("torques", &Catalogue::torques, "how tight, by the fastener's name",
            "torques: { drain-plug: { value: 25 N·m, threads: dry, source: maker's manual } }"),
        key("limits", &Catalogue::limits, "what readings are compared with",
            "limits: { disc-runout: { of: disc, maximum: 0.10 mm } }"),
        key("consumables", &Catalogue::consumables, "what is used up",
            "consumables: { brake-cleaner: { name: brake cleaner, sort: solvent } }"),
        key("tools", &Catalogue::tools, "what is worked with", "tools: { brass-brush: brass brush }"),
        key("cautions", &Catalogue::cautions, "what can hurt, and how not to get hurt",
            "cautions: { hot-oil: { level: warning, hazard: Hot oil burns., avoid: Wear long gloves. } }"));
};

// -- A procedure ------------------------------------------------------------------------------------------------------
template <>
struct Keys<Entering> {
    static constexpr std::string_view called = "contract's entry";
    static constexpr std::string_view about =
        "How a procedure finds or leaves an item. An item that owes nothing is written `caliper: off`.";
    static constexpr auto all = std::tuple(
        key("place", &Entering::place, "where it is; `ready` for a circuit or adjustment", "place: off"),
        key("owes", &Entering::owes, "what is still to be done to it; of an adjustment, `adjust` and `prove`",
            "owes: [adjust, prove]")
            .one_of(debt_words));
};

template <>
struct Keys<Again> {
    static constexpr std::string_view called = "repeat";
    static constexpr std::string_view about = "Work that is done over until a question is answered with yes.";
    static constexpr auto all = std::tuple(
        key("from", &Again::from, "the id of the step to go back to, in the same list", "from: pump").needed(),
        either_key("until", &Again::until, &Again::until_decided, &is_name_or_list,
                   "the question, or the limits and inspections, that end it", "until: Does clear fluid come?")
            .needed(),
        key("at-most", &Again::at_most, "how often it is gone round again at most, after the first time", "at-most: 3")
            .needed(),
        key("else", &Again::otherwise, "what is done when it is still not so after the last round",
            "else: [ { stop: The lever stays soft. } ]")
            .needed());
};

template <>
struct Keys<Picture> {
    static constexpr std::string_view called = "picture";
    static constexpr std::string_view about = "A drawing or photo that is printed beside its step, with numbers on "
                                              "what it points at. A picture alone may be written as its path.";
    static constexpr auto all = std::tuple(
        key("file", &Picture::file, "the PNG or JPEG file, from the shop's folder", "file: pictures/caliper.png")
            .needed(),
        key("shows", &Picture::shows, "what can be seen on it, for who cannot see it",
            "shows: The caliper from behind, its guide bolts one above the other."),
        key("marks", &Picture::marks,
            "what is pointed at, by the name of an item or in words, in the order of the numbers: how far from the "
            "left and from the top; "
            "with `from` the number stands apart, and a line leads to the place",
            "marks: { lower-guide-bolt: 35 % 80 %, Bleed screw: 60 % 15 % from 80 % 10 % }"));
};

template <>
struct Keys<Step> {
    static constexpr std::string_view called = "step";
    static constexpr std::string_view about =
        "A text alone is a step with no effect. All else is a map with one verb, or one of `say`, `section`, `ask`, "
        "`decide`, `if-answered`, `again`, `stop`, and the keys that go with it. `{lower-guide-bolt}` in a text stands "
        "for the item's name.";
    static constexpr auto worked = {StepSort::verb, StepSort::plain, StepSort::ask, StepSort::decide, StepSort::again};
    static constexpr auto rows = {StepSort::verb,   StepSort::plain, StepSort::ask,
                                  StepSort::decide, StepSort::again, StepSort::stop};
    static constexpr auto narrowed = {StepSort::verb,        StepSort::plain, StepSort::ask, StepSort::decide,
                                      StepSort::if_answered, StepSort::again, StepSort::stop};
    static constexpr auto all = std::tuple(
        key("section", &Step::section, "starts a section; only at the top of a procedure's steps", "section: Open up")
            .goes_with(StepSort::section),
        key("ask", &Step::ask, "a question that is answered with yes or no", "ask: Does each brake hold by itself?")
            .goes_with(StepSort::ask),
        key("decide", &Step::decide,
            "a question that is answered by readings and inspections; of what was looked at, `good` and `advise` are a "
            "yes, `act now` is a no",
            "decide: [pad-thickness, pad-look]")
            .goes_with(StepSort::decide),
        key("if-answered", &Step::if_answered, "steps that depend on an earlier answer", "if-answered: { pads: no }")
            .goes_with(StepSort::if_answered),
        key("again", &Step::again, "goes back to an earlier step of the same list until it is right",
            "again: { from: pump, until: \"Does it come clear?\", at-most: 3, else: [ { stop: Air is left. } ] }")
            .goes_with(StepSort::again),
        key("stop", &Step::stop, "ends the work here, and why: the vehicle is not to be driven",
            "stop: A brake does not hold.")
            .goes_with(StepSort::stop),
        key("if-so", &Step::if_so, "the steps when the answer is yes", "if-so: [ Write the reading down. ]")
            .goes_with({StepSort::ask, StepSort::decide}),
        key("if-not", &Step::if_not, "the steps when the answer is no", "if-not: [ { renew: inner-pad } ]")
            .goes_with({StepSort::ask, StepSort::decide}),
        key("steps", &Step::steps, "the steps that depend on the answer", "steps: [ { record: Make of the pads } ]")
            .needed_with(StepSort::if_answered),
        key("once", &Step::once, "the section is worked once for all sides, not side by side", "once: true")
            .goes_with(StepSort::section),
        key("to", &Step::to, "what it is applied to", "to: guide-pins").needed_with(VerbName::apply),
        key("surface", &Step::surface, "the surface of it that it goes on, where that is not all of them",
            "surface: ears")
            .goes_with(VerbName::apply),
        key("amount", &Step::amount,
            "how much, for each item and side; a `fill` without it takes what the circuit `holds`", "amount: 1 g")
            .above_zero()
            .needed_with(VerbName::apply)
            .goes_with(VerbName::fill),
        key("with", &Step::with, "the tools and consumables it is cleaned with", "with: [brass-brush, brake-cleaner]")
            .goes_with(VerbName::clean),
        key("look-for", &Step::look_for, "what would be a finding", "look-for: Cracks, oil, uneven wear.")
            .goes_with(VerbName::inspect),
        key("for", &Step::wait_for, "the consumable that is waited for", "for: locker-medium")
            .goes_with(VerbName::wait),
        key("record", &Step::record_value, "prints a box for the value that the wrench shows", "record: value")
            .one_of(value_words)
            .goes_with(VerbName::torque),
        key("id", &Step::id, "a name by which other steps speak of this one", "id: pad-look")
            .spelled(Spelling::lower_word)
            .goes_with(rows),
        key("say", &Step::say, "the wording of the step; without it the card words the verb itself",
            "say: Swing the caliper up and tie it.")
            .goes_with(worked),
        key("why", &Step::why, "why it is done so", "why: Wet dust stays out of the air.")
            .goes_with(worked)
            .goes_with(StepSort::section),
        key("caution", &Step::own_cautions, "a caution of this step alone, or a list of them",
            "caution: { level: notice, hazard: Fluid strips paint., avoid: Watch its level. }")
            .goes_with(rows),
        key("cautions", &Step::cautions, "cautions from a catalogue; they stand here, whatever was printed before",
            "cautions: [brake-dust]")
            .goes_with(rows),
        key("tool", &Step::tool, "the tools for it", "tool: dial-gauge").goes_with(worked),
        either_key("picture", &Step::picture, &Step::picture_marked, &is_map,
                   "a picture to print beside it, by its path from the shop's folder, and what is pointed at on it",
                   "picture: pictures/caliper.png")
            .goes_with(rows),
        key("minutes", &Step::minutes, "how long it takes", "minutes: 10 min").above_zero().goes_with(worked),
        key("when", &Step::when, "only on vehicles that have this", "when: { rear-brake: drum }").goes_with(narrowed),
        key("only", &Step::only, "only on these values of the axis", "only: { side: left }").goes_with(narrowed),
        key("allow", &Step::allow,
            "checks whose warnings about this step's own lines are not told, and why; never an error",
            "allow: { two-actions: They are one movement. }")
            .goes_with(narrowed),
        key("second-check", &Step::second_check, "a second person checks this step", "second-check: true")
            .goes_with(worked));
};

template <>
struct Keys<Procedure> {
    static constexpr std::string_view called = "procedure";
    static constexpr std::string_view about =
        "One piece of work, in a folder named after the system of the vehicle that it is about.";
    static constexpr auto all = std::tuple(
        key("title", &Procedure::title, "what the card prints at its head", "title: Front wheels off").needed(),
        key("revision", &Procedure::revision, "counted up with each change", "revision: 3").needed(),
        key("uses", &Procedure::uses, "the catalogues whose names are used here", "uses: [disc-brake, workshop]"),
        key("fits", &Procedure::fits, "what a vehicle must have", "fits: { front-brake: sliding-caliper }"),
        key("each", &Procedure::each,
            "the axis along which each section is worked, first all of it left, then all of it right; without it a "
            "step is done on both sides before "
            "the next, with a box for each",
            "each: side"),
        key("axle", &Procedure::axle, "the axle at which it is worked, for the map of the wheels", "axle: front"),
        key("why", &Procedure::why, "what the procedure is for", "why: Pads wear, and guides seize."),
        key("starts-with", &Procedure::starts_with, "how it finds the vehicle, where that is not at rest",
            "starts-with: { front-end: on-stands, road-wheel: off }"),
        key("ends-with", &Procedure::ends_with, "how it leaves the vehicle, where that is not at rest",
            "ends-with: { front-end: on-stands, front-brake: { owes: [prime, level] } }"),
        key("cautions", &Procedure::cautions, "cautions for the whole of it", "cautions: [brake-dust]"),
        key("protection", &Procedure::protection, "what is worn for it", "protection: [gloves, goggles]"),
        key("torques", &Procedure::torques, "torques of its own; keys that are not given come from the catalogue",
            "torques: { drain-plug: { value: 25 N·m } }")
            .in_part(),
        key("limits", &Procedure::limits, "limits of its own; keys that are not given come from the catalogue",
            "limits: { pad-thickness: { minimum: 2.5 mm } }")
            .in_part(),
        key("steps", &Procedure::steps, "the work, in its order", "steps: [ { remove: lower-guide-bolt } ]").needed());
};

// -- A vehicle, a job, the shop ---------------------------------------------------------------------------------------
template <>
struct Keys<Vehicle> {
    static constexpr std::string_view called = "vehicle";
    static constexpr std::string_view about =
        "A model: what it has, its figures, and what differs from the catalogues. It stands in the folder `vehicles`.";
    static constexpr auto all = std::tuple(
        key("name", &Vehicle::name, "what the card prints", "name: Ostrel Haul 300").needed(),
        key("has", &Vehicle::has, "what it has; `fits`, `when` and `only-on` ask for it",
            "has: { front-brake: sliding-caliper, rear-brake: drum }"),
        key("axes", &Vehicle::axes, "the values of its axes; `side` is [left, right] without being said",
            "axes: { cylinder: [1, 2] }"),
        key("wheels", &Vehicle::wheels,
            "its axles from the front, each with its wheels from left to right; cards draw a map of them",
            "wheels: { front: [left, right], rear: [middle] }"),
        key("only", &Vehicle::only, "items that are not on every value of their axis",
            "only: { disc: { side: left } }"),
        key("torques", &Vehicle::torques, "its own torques; keys that are not given come from the catalogue",
            "torques: { drain-plug: { value: 35 N·m ±10 % } }")
            .in_part(),
        key("limits", &Vehicle::limits, "its own limits; keys that are not given come from the catalogue",
            "limits: { pad-thickness: { new: 8.5 mm } }")
            .in_part(),
        key("items", &Vehicle::items, "anything else about an item that differs from the catalogue",
            "items: { engine-oil: { holds: 2.1 L } }")
            .in_part(),
        key("cautions", &Vehicle::cautions, "cautions for any work on it", "cautions: [high-voltage]"),
        key("formerly", &Vehicle::formerly,
            "names under which its records were made, before its file was renamed or split", "formerly: [cart]"));
};

template <>
struct Keys<Job> {
    static constexpr std::string_view called = "job";
    static constexpr std::string_view about = "One vehicle, one visit. It stands in the folder `jobs`.";
    static constexpr auto all = std::tuple(
        key("vehicle", &Job::vehicle, "the model, as its file is named", "vehicle: ostrel-haul-300").needed(),
        key("identity", &Job::identity, "what tells this vehicle from others of its model",
            "identity: { registration: TX 30 418, frame: OH3-00417 }"),
        key("meter", &Job::meter, "what the odometer or hour meter shows", "meter: 12 460 km"),
        key("next-service", &Job::next_service, "when it comes back: so much further, or at a figure of the meter",
            "next-service: +6 000 km"),
        key("next-service-date", &Job::next_service_date, "when it comes back, by the calendar",
            "next-service-date: 2027-11-25")
            .spelled(Spelling::date),
        key("date", &Job::date, "the day of the work; the card prints this one and no other", "date: 2026-11-25")
            .needed(),
        key("do", &Job::procedures, "the procedures, in their order", "do: [front-wheels-off, front-disc-service]")
            .needed(),
        key("customer", &Job::customer, "who brought it; stands on the cover sheet alone", "customer: R. Alder"),
        key("note", &Job::note, "what the customer says of it; stands on the cover sheet",
            "note: Pulls to the left when braking."),
        key("torques", &Job::torques, "torques for this job alone; keys that are not given come from elsewhere",
            "torques: { drain-plug: { value: 30 N·m, source: repaired thread } }")
            .in_part(),
        key("limits", &Job::limits, "limits for this job alone; keys that are not given come from elsewhere",
            "limits: { pad-thickness: { minimum: 3 mm } }")
            .in_part());
};

template <>
struct Keys<Wrench> {
    static constexpr std::string_view called = "wrench";
    static constexpr std::string_view about = "A torque wrench of the shop. The card picks the smallest that will do.";
    static constexpr auto all =
        std::tuple(name_key<Wrench>,
                   key("range", &Wrench::range, "from its least to its largest torque", "range: 4..20 N·m").needed(),
                   key("accuracy", &Wrench::accuracy, "how far it may be off", "accuracy: 4 %").above_zero(),
                   key("length", &Wrench::length,
                       "from its drive to the mark on its grip; adapters are reckoned with it", "length: 240 mm")
                       .above_zero(),
                   key("serial", &Wrench::serial, "its number, for who writes down what was used", "serial: FW-0117"),
                   key("calibrated-until", &Wrench::calibrated_until, "the last day on which it may be used",
                       "calibrated-until: 2027-03-01"));
};

template <>
struct Keys<Prints> {
    static constexpr std::string_view called = "list of units";
    static constexpr std::string_view about = "The units that the card prints, one or two for each sort of figure.";
    static constexpr auto all = std::tuple(
        key("torque", &Prints::torque, "units of torque", "torque: [N·m, lbf·ft]").names_unit(units::Wanted::torque),
        key("length", &Prints::length, "units of length", "length: mm").names_unit(units::Wanted::length),
        key("distance", &Prints::distance, "units of distance", "distance: km").names_unit(units::Wanted::distance),
        key("volume", &Prints::volume, "units of volume", "volume: mL").names_unit(units::Wanted::volume),
        key("pressure", &Prints::pressure, "units of pressure", "pressure: [kPa, psi]")
            .names_unit(units::Wanted::pressure));
};

template <>
struct Keys<Shop> {
    static constexpr std::string_view called = "shop";
    static constexpr std::string_view about = "The file `shop.yaml` at the root of the shop's folder.";
    static constexpr auto all = std::tuple(
        key("name", &Shop::name, "what the card prints", "name: Fernhollow Works").needed(),
        key("paper", &Shop::paper, "the size of a card's page", "paper: a4"),
        key("language", &Shop::language, "the language of the procedures, and of the card's own words", "language: en")
            .spelled(Spelling::language),
        key("prints", &Shop::prints, "the units that the card prints", "prints: { torque: [N·m, lbf·ft] }"),
        key("margin", &Shop::margin, "by how much more than expected a part may wear before the next service",
            "margin: 1.25")
            .spelled(Spelling::factor),
        key("second-check", &Shop::second_check,
            "who checks a critical torque; who works alone says `same-person-later`", "second-check: other"),
        key("wrenches", &Shop::wrenches, "the torque wrenches of the shop",
            "wrenches: { wrench-a: { name: wrench A, range: 4..20 N·m } }"),
        key("signs", &Shop::signs, "the initials that may sign", "signs: [AB, CD]"),
        key("foot", &Shop::foot, "what is added to the foot of every page", "foot: Fernhollow Works, the old mill"));
};

// -- A record -----------------------------------------------------------------------------------------------------------
template <class T>
constexpr auto step_key = key("step", &T::step, "the number of the step on the card", "step: 5").needed();
template <class T>
constexpr auto of_key = key("of", &T::of, "the item", "of: inner-pad").needed();
template <class T>
constexpr auto at_key = key("at", &T::at, "which of them, where there are several", "at: left");
template <class T>
constexpr auto round_key = key("round", &T::round, "of a step that was worked again, which time", "round: 2");

template <>
struct Keys<ReadFigure> {
    static constexpr std::string_view called = "reading";
    static constexpr std::string_view about = "A figure that was read, what it was held against, and the verdict.";
    static constexpr bool in_one_line = true;
    static constexpr auto all = std::tuple(
        step_key<ReadFigure>, key("limit", &ReadFigure::limit, "the limit", "limit: pad-thickness").needed(),
        key("of", &ReadFigure::of, "what was measured", "of: inner-pad"), at_key<ReadFigure>, round_key<ReadFigure>,
        key("read", &ReadFigure::read, "what the gauge showed; of several points each", "read: 6.4 mm"),
        key("not-read", &ReadFigure::not_read, "why there is no reading", "not-read: micrometer at the calibration"),
        key("minimum", &ReadFigure::minimum, "the least that it may be", "minimum: 2.0 mm"),
        key("maximum", &ReadFigure::maximum, "the most that it may be", "maximum: 0.10 mm"),
        key("within", &ReadFigure::within, "between what it may be", "within: 25..35 mm"),
        key("uncertainty", &ReadFigure::uncertainty, "of the gauge", "uncertainty: 0.1 mm"),
        key("keep", &ReadFigure::keep, "what lasts to the next service", "keep: 4.1 mm"),
        key("verdict", &ReadFigure::verdict, "what follows from that", "verdict: within"),
        key("limit-at", &ReadFigure::limit_at, "the stand of the meter at which the limit is expected",
            "limit-at: 24 100 km"));
};

template <>
struct Keys<FoundThing> {
    static constexpr std::string_view called = "finding";
    static constexpr std::string_view about = "What was looked at, and how it was.";
    static constexpr bool in_one_line = true;
    static constexpr auto all =
        std::tuple(step_key<FoundThing>, key("of", &FoundThing::of, "what was looked at", "of: disc"),
                   at_key<FoundThing>, key("found", &FoundThing::found, "how it was", "found: advise").needed());
};

template <>
struct Keys<Answered> {
    static constexpr std::string_view called = "answer";
    static constexpr std::string_view about = "A question of the card, and its answer.";
    static constexpr bool in_one_line = true;
    static constexpr auto all =
        std::tuple(step_key<Answered>, at_key<Answered>, round_key<Answered>,
                   key("asked", &Answered::asked, "the question", "asked: Does clear fluid come?"),
                   key("answer", &Answered::answer, "yes or no", "answer: yes").needed());
};

template <>
struct Keys<Tightened> {
    static constexpr std::string_view called = "tightened fastener";
    static constexpr std::string_view about = "A torque that was set, and by whom.";
    static constexpr bool in_one_line = true;
    static constexpr auto all =
        std::tuple(step_key<Tightened>, of_key<Tightened>, at_key<Tightened>, round_key<Tightened>,
                   key("to", &Tightened::to, "the torque on the card", "to: 23 N·m"),
                   key("read", &Tightened::read, "what the tool showed", "read: 23.4 N·m"),
                   key("by", &Tightened::by, "the initials of who did it", "by: AB"));
};

template <>
struct Keys<Checked> {
    static constexpr std::string_view called = "second check";
    static constexpr std::string_view about = "A second check, and by whom.";
    static constexpr bool in_one_line = true;
    static constexpr auto all =
        std::tuple(step_key<Checked>, at_key<Checked>, round_key<Checked>,
                   key("by", &Checked::by, "the initials of who checked", "by: CD").needed(),
                   key("time", &Checked::time, "when, where the same person checks later", "time: \"16:40\""),
                   key("independent", &Checked::independent, "says that it was not, where the same person checked",
                       "independent: not independent"));
};

template <>
struct Keys<Renewed> {
    static constexpr std::string_view called = "renewed part";
    static constexpr std::string_view about = "What was renewed; its wear counts from here.";
    static constexpr bool in_one_line = true;
    static constexpr auto all =
        std::tuple(step_key<Renewed>, of_key<Renewed>, at_key<Renewed>,
                   key("count", &Renewed::count, "how many, if more than one", "count: 4"),
                   key("batch", &Renewed::batch, "its part number or batch", "batch: FP-2210 / 0926"));
};

template <>
struct Keys<Written> {
    static constexpr std::string_view called = "note";
    static constexpr std::string_view about = "What a step `record` asked for.";
    static constexpr bool in_one_line = true;
    static constexpr auto all =
        std::tuple(step_key<Written>, at_key<Written>,
                   key("asked", &Written::asked, "what was asked for", "asked: Brake fluid, boiling point"),
                   key("written", &Written::written, "what was written", "written: 212 °C").needed());
};

template <>
struct Keys<FromEarlier> {
    static constexpr std::string_view called = "line about an earlier visit";
    static constexpr std::string_view about = "What an earlier visit left open, and whether it is done by now.";
    static constexpr bool in_one_line = true;
    static constexpr auto all = std::tuple(
        key("job", &FromEarlier::job, "the job of that visit", "job: 2026-0412").needed(),
        key("of", &FromEarlier::of, "the item that was to be kept watch on, or done", "of: disc"), at_key<FromEarlier>,
        key("also-found", &FromEarlier::also_found, "or what else was found then, in its words",
            "also-found: left boot torn"),
        key("declined", &FromEarlier::declined, "or what the customer declined, in its words", "declined: new tyres"),
        key("recheck", &FromEarlier::recheck, "or the torque that was to be checked once it had run, in its words",
            "recheck: \"recheck the torque after 50 km: wheel nuts\""),
        key("done", &FromEarlier::done, "`yes`: it is done; `no`: it is still open", "done: yes").needed());
};

template <>
struct Keys<StoppedAt> {
    static constexpr std::string_view called = "stop";
    static constexpr std::string_view about = "Where the work was stopped half-way, and how the vehicle was left.";
    static constexpr bool in_one_line = true;
    static constexpr auto all =
        std::tuple(key("card", &StoppedAt::card, "the number of the card", "card: 2"),
                   key("by", &StoppedAt::by, "the initials of who had done the work till then", "by: AB"),
                   key("date", &StoppedAt::date, "the day", "date: 2026-11-25"),
                   key("time", &StoppedAt::time, "the time", "time: \"17:30\""),
                   key("step", &StoppedAt::step, "the step that comes next", "step: 14"),
                   key("state", &StoppedAt::state, "how the vehicle stands", "state: on stands, tag on the bar"));
};

template <>
struct Keys<RecordedCard> {
    static constexpr std::string_view called = "recorded card";
    static constexpr std::string_view about = "One card of the job, as it came back from the bench.";
    static constexpr auto all = std::tuple(
        key("card", &RecordedCard::card, "the procedure", "card: front-disc-service").needed(),
        key("title", &RecordedCard::title, "its title", "title: Front disc brake – pads and guides"),
        key("revision", &RecordedCard::revision, "its revision", "revision: 3"),
        key("digest", &RecordedCard::digest, "the digest at the foot of the card", "digest: e01c09aaf8c38666").needed(),
        key("since", &RecordedCard::since, "of an older card: what the shop's files say otherwise by now",
            "since: \"step 35: 23 N·m → 25 N·m\""),
        key("readings", &RecordedCard::readings, "what was read",
            "readings: [ { step: 5, limit: disc-thickness, read: 4.4 mm } ]"),
        key("found", &RecordedCard::found, "what was found by looking",
            "found: [ { step: 4, of: disc, found: good } ]"),
        key("answers", &RecordedCard::answers, "what was answered", "answers: [ { step: 9, answer: yes } ]"),
        key("tightened", &RecordedCard::tightened, "what was set with a torque wrench",
            "tightened: [ { step: 35, of: lower-guide-bolt, by: AB } ]"),
        key("checked", &RecordedCard::checked, "second checks", "checked: [ { step: 35, by: CD } ]"),
        key("renewed", &RecordedCard::renewed, "what was renewed",
            "renewed: [ { step: 20, of: inner-pad, at: left } ]"),
        key("written", &RecordedCard::written, "what was written down", "written: [ { step: 3, written: 212 °C } ]"),
        key("not-ticked", &RecordedCard::not_ticked, "steps without a tick", "not-ticked: [8, 9]"),
        key("also-found", &RecordedCard::also_found, "what else was found", "also-found: left boot torn"),
        key("declined", &RecordedCard::declined, "what the customer declined", "declined: new tyres"),
        key("earlier", &RecordedCard::earlier, "of what earlier visits left open, what is done by now",
            "earlier: [ { job: 2026-0412, of: disc, at: left, done: yes } ]"),
        key("recheck", &RecordedCard::recheck, "torques that are to be checked once the vehicle has run",
            "recheck: \"recheck the torque after 50 km: wheel nuts\""),
        key("later", &RecordedCard::later, "what else is to be known once the vehicle has left",
            "later: \"medium thread-locker: full strength after 24 h\""),
        key("done-by", &RecordedCard::done_by, "who did the work", "done-by: AB"),
        key("checked-by", &RecordedCard::checked_by, "who did the second check", "checked-by: CD"),
        key("wrenches", &RecordedCard::wrenches, "the torque wrenches that were used, by their numbers",
            "wrenches: FW-0118"),
        key("gauges", &RecordedCard::gauges, "the gauges that were used, by their numbers", "gauges: FW-0031"),
        key("date", &RecordedCard::date, "when it was signed", "date: 2026-11-25"),
        key("time", &RecordedCard::time, "when it was signed", "time: \"17:30\""));
};

template <>
struct Keys<Used> {
    static constexpr std::string_view called = "used thing";
    static constexpr std::string_view about = "A consumable or part that the job took.";
    static constexpr bool in_one_line = true;
    static constexpr auto all = std::tuple(key("what", &Used::what, "its name", "what: silicone brake grease").needed(),
                                           key("amount", &Used::amount, "how much or how many", "amount: 2 g"));
};

template <>
struct Keys<Record> {
    static constexpr std::string_view called = "record";
    static constexpr std::string_view about =
        "What was read, found, answered and signed on the cards of a job. `benchleaf record` writes it, in a folder of "
        "`records` for each "
        "vehicle, and nothing changes it any more: a mistake is put right by a new record that names it.";
    static constexpr auto all = std::tuple(
        key("job", &Record::job, "the job", "job: 2026-0412").needed(),
        key("vehicle", &Record::vehicle, "the model", "vehicle: ostrel-haul-300").needed(),
        key("name", &Record::name, "what the model is called", "name: Ostrel Haul 300"),
        key("identity", &Record::identity, "which vehicle it was", "identity: { registration: TX 30 418 }").needed(),
        key("meter", &Record::meter, "what its meter showed", "meter: 12 460 km"),
        key("date", &Record::date, "the day of the job", "date: 2026-11-25").needed(),
        key("next-service", &Record::next_service, "when it is to come back", "next-service: 18 460 km"),
        key("next-service-date", &Record::next_service_date, "when it is to come back, by the calendar",
            "next-service-date: 2027-11-25")
            .spelled(Spelling::date),
        key("customer", &Record::customer, "who brought it", "customer: R. Alder"),
        key("note", &Record::note, "what the customer said of it", "note: Pulls to the left when braking."),
        key("corrects", &Record::corrects, "the record that this one takes the place of", "corrects: 2026-0412"),
        key("continues", &Record::continues, "likewise, of work that had been stopped", "continues: 2026-0412"),
        key("reason", &Record::reason, "why it was corrected; of work that was gone on with, what was answered anew",
            "reason: The readings of left and right were mixed up."),
        key("outcome", &Record::outcome, "how it ended", "outcome: finished").needed(),
        key("stopped", &Record::stopped, "where the work was stopped", "stopped: [ { card: 2, step: 14 } ]"),
        key("cards", &Record::cards, "the cards of the job",
            "cards: [ { card: front-disc-service, digest: e01c09aaf8c38666 } ]"),
        key("used", &Record::used, "what the job took", "used: [ { what: silicone brake grease, amount: 2 g } ]"),
        key("boxes", &Record::boxes, "each box of the cards as it was filled in, by its name",
            "boxes: { card-2/step-5/reading-1/1: 4.4 mm }"),
        key("seal", &Record::seal, "SHA-256 of all that stands before it: whether somebody changed it", "seal: 9f2c…")
            .needed());
};

template <>
struct Keys<Answers> {
    static constexpr std::string_view called = "answers";
    static constexpr std::string_view about =
        "What was filled in on the cards of a job, for `benchleaf record JOB --from`. `benchleaf record JOB --sheet` "
        "prints one with every box of the "
        "cards, to be filled in. It is named after its job.";
    static constexpr auto all = std::tuple(key("boxes", &Answers::boxes,
                                               "each box by its name, as the fields of the PDF have it; a tick is `x`",
                                               "boxes: { card-2/step-5/reading-1/1: 4.4 mm }"));
};

template <>
struct Keys<Approval> {
    static constexpr std::string_view called = "approval";
    static constexpr std::string_view about =
        "Who checked which state of a procedure, and when. `benchleaf approve` writes it, in the folder `approvals`. "
        "Once the "
        "procedure says "
        "something else, or a figure that it uses does, it is not approved any more.";
    static constexpr auto all = std::tuple(
        key("procedure", &Approval::procedure, "the procedure", "procedure: front-disc-service").needed(),
        key("revision", &Approval::revision, "its revision, for who reads this", "revision: 3"),
        key("digest", &Approval::digest, "by which that state of it is known: SHA-256, 64 figures",
            "digest: c79cdbd6207d76a91349dbac6cd415f82315a28374c3f8de13656ed44ec1c3cf")
            .needed(),
        key("by", &Approval::by, "the initials of who checked it", "by: AB").needed(),
        key("date", &Approval::date, "when", "date: 2026-11-26").needed(),
        key("note", &Approval::note, "what there is to say of it",
            "note: Read against the maker's manual, 3rd edition."),
        key("signature", &Approval::signature, "made by `ssh-keygen -Y sign`, of all of the above but the note",
            "signature: \"-----BEGIN SSH SIGNATURE-----\""));
};

} // namespace benchleaf::model
