// Cards made by hand, for the tests of whatever takes a Card: `sketch_card()` is the front disc brake of the demo shop, two columns, as
// long as a real card; `full_card()` has every variant of every struct at least once: all four levels of caution, torque with star
// order, stages, a left-hand thread, a box for the value and no wrench, readings with and without history, questions, branches three
// deep, a repeat, a stop, a note, four cylinders, an empty and a full list; `blank_card()` has neither job nor date. Every figure is invented.
#pragma once

#include "card/card.h"
#include "card/cover.h"

#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace benchleaf::sample {

using namespace card;

inline Caution caution(Level level, std::string signal, std::string hazard, std::string avoid) {
    return {level, std::move(signal), std::move(hazard), std::move(avoid)};
}

// Adds a row to a section and numbers it (a branch head is not numbered).
inline Row& add_row(Section& section, std::uint32_t& number, decltype(Row::what) what, std::vector<bool> marks,
                    std::uint32_t depth = 0) {
    Row row;
    const bool head = std::holds_alternative<Branch>(what);
    row.number = head ? 0 : ++number;
    row.depth = depth;
    row.marks = std::move(marks);
    row.what = std::move(what);
    row.name = (head ? "branch-" : "step-") + std::to_string(number);
    section.rows.push_back(std::move(row));
    return section.rows.back();
}

// Of so many pixels; there are none in it, for nothing that lays out looks at them.
inline Picture picture(std::uint32_t width, std::uint32_t height) {
    auto made = std::make_shared<pictures::Picture>();
    made->width = width;
    made->height = height;
    made->sha256 = std::string(64, '0');
    Picture row;
    row.file = "pictures/caliper.png";
    row.picture = std::move(made);
    return row;
}

inline Step step(std::string text, std::string why = {}) {
    Step made;
    made.text = std::move(text);
    made.why = std::move(why);
    return made;
}

inline Words words() {
    Words w;
    w.page_of = "page {} of {}";
    w.sheet_of = "sheet {} of {}";
    w.job = "job";
    w.card_of = "card {} of {}";
    w.before = "Before you start";
    w.states = "The vehicle stands like this";
    w.protection = "Protection";
    w.tools = "Tools";
    w.consumables = "Consumables";
    w.renew = "Renew";
    w.may_need = "May be needed";
    w.states_none = "everything in its place";
    w.none = "none";
    w.minutes = "Time";
    w.torques = "Torques";
    w.initials = "initials";
    w.second_check = "Second check";
    w.order = "numbered clockwise:";
    w.why = "why";
    w.continued = "continued";
    return w;
}

inline Reading pad(std::string name) {
    Reading r;
    r.name = std::move(name);
    r.limit = "at least 2.0 mm";
    r.new_size = "new 8.5 mm";
    r.last = "no earlier record";
    r.keep = "keep ≥ 4.6 mm";
    r.bar = WearBar{{160, "2.0"}, {496, "4.6"}, {1000, "8.5"}, std::nullopt};
    r.unit = "mm";
    return r;
}

inline Torque guide_bolt() {
    Torque t;
    t.name = "lower guide bolt";
    t.value = "23";
    t.unit = "N·m";
    t.tolerance = "±10 %";
    t.second = "17 lbf·ft";
    t.socket = "12 mm hex";
    t.wrench = "wrench B";
    t.source = "demo figure, invented";
    t.initials = true;
    return t;
}

inline Head head() {
    Head h;
    h.shop = "Fernhollow Works";
    h.title = "Front disc brake – pads and guides";
    h.vehicle = "Ostrel Haul 300";
    h.known_by = "TX 30 418";
    h.identity = {"frame OH3-00417"};
    h.meter = "12 460 km";
    h.job = "2026-0412";
    h.date = "2026-11-25";
    h.revision = "revision 3";
    h.card = 2;
    h.cards = 4;
    h.code = "benchleaf 2026-0412 front-disc-service 3 7f3a91c2";
    h.digest = "7f3a 91c2";
    return h;
}

inline void ending(Card& made) {
    made.findings.title = "Findings";
    made.findings.also_found = "Also found";
    made.findings.declined = "The customer declined";
    made.findings.next_service = "next service at 18 460 km";
    made.stop_strip = {"Work stopped here",
                       {"time", "at step", "the vehicle stands"},
                       "DO NOT DRIVE",
                       "Fill this in and hang the card on the vehicle."};
    made.close_out.title = "Close-out – before the vehicle leaves";
    made.close_out.lines = {{"lower guide bolt at 23 N·m, left and right", ""},
                            {"front brake hydraulics: pumped up firm, level right", ""},
                            {"medium thread-locker on the lower guide bolt", "last applied __:__ + 20 min"}};
    made.close_out.later = {"medium thread-locker: full strength after 24 h",
                            "recheck the front wheel nuts after 50 km"};
    made.close_out.signatures = {"done by", "Second check", "torque wrench used", "gauge used", "date", "time"};
    made.close_out.check_rule = "Second check: not by the one who did it";
    made.close_out.signers = 2;
    made.foot.text =
        "Follow the maker's service manual and local law; work on brakes is for a competent, where required licensed, "
        "mechanic. Signal words follow ANSI Z535.";
    made.words = words();
    made.language = "en";
    made.file_stem = "2026-0412-2-front-disc-service";
}

inline Card sketch_card() {
    Card made;
    made.head = head();
    Before& b = made.before;
    b.states = {"front end: on stands", "front wheel: off, left and right"};
    b.protection = {"gloves", "goggles", "dust mask P100 or FFP3"};
    b.tools = {{"wrench B, 10–60 N·m (calibrated to 2027-03-01)", ""},
               {"12 mm hex socket", ""},
               {"thin open spanner", ""},
               {"vernier caliper", ""},
               {"brass brush", ""},
               {"caliper tie", ""},
               {"disc micrometer", ""},
               {"dial gauge on a magnetic foot", ""}};
    b.consumables = {{"brake cleaner", ""},
                     {"silicone brake grease", "2 g"},
                     {"ceramic pad paste", "2 g"},
                     {"medium thread-locker", "4 drops"}};
    b.may_need = {{"inner brake pad", "2 ×"}, {"outer brake pad", "2 ×"}};
    b.minutes = "55–75 min";
    const std::vector<bool> both{true, true};
    std::uint32_t n = 0;

    Section open;
    open.title = "Open up";
    open.order = "down the left column first, then down the right";
    open.columns = {"L", "R"};
    add_row(open, n,
            step("Soak the dust on caliper, carrier and disc with brake cleaner.", "Wet dust stays out of the air."),
            both)
        .cautions = {
        caution(Level::warning, "WARNING", "Brake dust harms the lungs.", "Keep it wet. Wear a P100 or FFP3 mask.")};
    add_row(open, n, step("Remove: lower guide bolt", "The boot tears if the guide pin turns with the bolt."), both);
    add_row(open, n, step("Swing the caliper up on its upper bolt."), both);
    add_row(open, n, step("Tie the caliper to the spring.", "Nothing may hang on the hose."), both);
    add_row(open, n, step("Draw the pads out, marked left and right, inner and outer."), both);
    Step measure = step("Measure each lining at its thinnest point, without the back plate.");
    measure.panel = std::vector<Reading>{pad("inner brake pad"), pad("outer brake pad")};
    add_row(open, n, std::move(measure), both);
    Step look = step("Inspect: inner brake pad, outer brake pad");
    look.notes = {"look for: cracks, glaze, oil, a lining that comes away, wear on a slant"};
    add_row(open, n, std::move(look), both);
    made.sections.push_back(std::move(open));

    Section judge;
    judge.title = "Judge the pads";
    judge.order = "once, for both sides";
    judge.columns = {""};
    Question q;
    q.text = "Is every lining thickness at or above its keep figure, left and right?";
    q.basis = {"lining thickness: step 6", "what was seen: step 7"};
    q.yes = "yes";
    q.yes_goes = "→ 11";
    q.no = "no";
    q.no_goes = "→ 9 and 10";
    add_row(judge, n, std::move(q), {true});
    add_row(judge, n, Branch{"If no"}, {}, 1);
    add_row(judge, n, step("Lay out a new axle set of pads.", "Pads of different wear pull the vehicle to one side."),
            {true}, 1);
    add_row(judge, n, step("Press the piston back, slowly and square."), {true}, 1).cautions = {
        caution(Level::notice, "NOTICE", "The reservoir can overflow, and fluid strips paint.",
                "Keep a rag round the reservoir. Watch the fluid rise.")};
    made.sections.push_back(std::move(judge));

    Section close;
    close.title = "Close up";
    close.order = "down the left column first, then down the right";
    close.columns = {"L", "R"};
    add_row(close, n,
            step("Clean the carrier lands, the guide pins and the bolt threads.",
                 "Thread-locker only holds on bare metal."),
            both);
    Step grease = step("Grease the guide pins thinly.");
    grease.notes = {"silicone brake grease, 1 g"};
    add_row(close, n, std::move(grease), both);
    add_row(close, n, step("Slide the pads in, linings to the disc."), both);
    add_row(close, n, step("Cut the caliper tie."), both);
    add_row(close, n, step("Swing the caliper down over the pads.", "A twisted hose chafes through."), both);
    Step locker = step("Apply to the lower guide bolt: medium thread-locker");
    locker.notes = {"2 drops"};
    add_row(close, n, std::move(locker), both).cautions = {
        caution(Level::caution, "CAUTION", "Thread-locker irritates skin and eyes.", "Wear gloves and goggles.")};
    add_row(close, n, step("Start the lower guide bolt by hand."), both);
    Step torque = step("Torque: lower guide bolt");
    torque.panel = std::vector<Torque>{guide_bolt()};
    torque.second_check = true;
    torque.second_check_note = "not by the one who did it";
    add_row(close, n, std::move(torque), both);
    add_row(close, n, step("Draw a stripe over the bolt head and the caliper."), both);
    made.sections.push_back(std::move(close));

    Section prove;
    prove.title = "Prove";
    prove.order = "once, for both sides";
    prove.columns = {""};
    add_row(prove, n, step("Pump the lever until it stands firm."), {true}).cautions = {
        caution(Level::warning, "WARNING", "The first pull of the lever does not brake after the pistons went back.",
                "Pump the lever hard before the vehicle rolls, even by hand.")};
    add_row(prove, n, step("Hold the lever hard for half a minute.", "A lever that sinks has air or a leak behind it."),
            {true});
    add_row(prove, n, step("Bring the fluid between the two lines of the sight glass."), {true});
    add_row(prove, n, Branch{"If step 8 was answered no"}, {}, 1);
    Step batch = step("Write down: make and batch of the new pads");
    batch.panel = Note{"make and batch of the new pads", true};
    add_row(prove, n, std::move(batch), {true}, 1);
    made.sections.push_back(std::move(prove));
    ending(made);
    return made;
}

inline Card full_card() {
    Card made;
    made.head = head();
    made.head.title = "Everything at once – for the tests";
    Before& b = made.before;
    b.cautions = {caution(Level::danger, "DANGER", "Exhaust gas kills in a closed room, without a smell.",
                          "Lead it outdoors through the hose. Keep the doors wide."),
                  caution(Level::warning, "WARNING", "A jack sinks or slips under load.",
                          "Use the maker's lifting points. Trust the stands, never the jack.")};
    b.states = {"front end: on stands"};
    b.tools = {{"wrench A, 4–20 N·m (calibrated to 2027-03-01)", ""},
               {"wrench C, 40–200 N·m (calibrated to 2027-06-15)", ""}};
    b.consumables = {{"brake cleaner", "60 mL"}};
    b.renew = {{"drain plug washer", ""}, {"split pin", "2 ×"}};
    b.may_need = {{"spark plug", "4 ×"}};
    b.minutes = "35–50 min";
    std::uint32_t n = 0;

    Section wheels;
    wheels.title = "Wheels";
    wheels.order = "down the left column first, then down the right";
    wheels.columns = {"L", "R"};
    Step nuts = step("Torque: front wheel nut");
    Torque star;
    star.name = "front wheel nut";
    star.value = "90";
    star.unit = "N·m";
    star.tolerance = "±10 %";
    star.second = "66 lbf·ft";
    star.stages = {"45 N·m", "90 N·m"};
    star.socket = "19 mm hex";
    star.wrench = "wrench C";
    star.source = "demo figure, invented";
    star.order = "1 3 5 2 4 6";
    star.fasteners = 6;
    star.initials = true;
    nuts.panel = std::vector<Torque>{star};
    nuts.second_check = true;
    nuts.second_check_note = "by the same person, later: not independent";
    add_row(wheels, n, std::move(nuts), {true, true}).cautions = {
        caution(Level::danger, "DANGER", "A loose wheel comes off on the road.",
                "Torque it on the ground, in star order."),
        caution(Level::caution, "CAUTION", "A long bar kicks back.", "Stand beside it.")};
    Step left_only = step("Torque: clutch nut, hub nut");
    Torque hub;
    hub.name = "hub nut";
    hub.value = "8";
    hub.unit = "N·m";
    hub.second = "5.9 lbf·ft";
    hub.stages = {"30 N·m turning", "back 90°", "8 N·m", "on to the next slot"};
    hub.socket = "30 mm hex";
    hub.wrench = "torque wrench for 30 N·m and 8 N·m";
    hub.source = "demo figure, invented";
    hub.left_hand = "left-hand thread: turns the other way";
    Torque angle;
    angle.name = "oil filter";
    angle.value = "270";
    angle.unit = "°";
    angle.stages = {"until it touches", "+270°"};
    angle.source = "demo figure, invented";
    angle.value_box = true;
    left_only.panel = std::vector<Torque>{hub, angle};
    add_row(wheels, n, std::move(left_only), {true, false});
    Step runout = step("Turn the disc under the dial gauge.");
    Reading eight;
    eight.name = "disc runout";
    eight.limit = "at most 0.10 mm";
    eight.last = "last L 0.04 · R 0.06";
    eight.keep = "keep ≤ 0.09 mm";
    eight.unit = "mm";
    eight.points = 8;
    Reading marks;
    marks.name = "wheel marks";
    marks.unit = "mm";
    marks.note = "difference left to right at most 1 mm";
    marks.column_note = "axle plate";
    Reading tread = pad("front tyre");
    tread.last = "last L 6.4 · R 6.1";
    tread.expected = "expected L 5.8 · R 5.4";
    tread.bar = WearBar{{160, "2.0"}, {496, "4.6"}, {1000, "8.5"}, WearBar::Mark{651, "5.8"}};
    runout.panel = std::vector<Reading>{eight, marks, tread};
    add_row(wheels, n, std::move(runout), {true, true});
    made.sections.push_back(std::move(wheels));

    Section cylinders;
    cylinders.title = "Cylinders";
    cylinders.order = "down column 1 first, then down 2, 3 and 4";
    cylinders.columns = {"1", "2", "3", "4"};
    const std::vector<bool> four(4, true);
    Step gap = step("Pass the gauge through the gap.");
    Reading spark;
    spark.name = "spark gap";
    spark.limit = "0.70–0.80 mm";
    spark.last = "no earlier record";
    spark.unit = "mm";
    gap.panel = std::vector<Reading>{spark};
    add_row(cylinders, n, std::move(gap), four).cautions = {
        caution(Level::notice, "NOTICE", "Grit that falls in scores the cylinder.", "Blow the well out first.")};
    Question q;
    q.text = "Is every spark gap within 0.70–0.80 mm?";
    q.basis = {"spark gap: step 4"};
    q.yes = "yes";
    q.yes_goes = "→ 12";
    q.no = "no";
    q.no_goes = "→ 6 to 11";
    add_row(cylinders, n, std::move(q), four);
    add_row(cylinders, n, Branch{"If no"}, {}, 1);
    add_row(cylinders, n, step("Bend the outer electrode until the gauge just drags."), four, 1);
    Question lead;
    lead.text = "Is the insulator whole?";
    lead.yes = "yes";
    lead.yes_goes = "→ 10";
    lead.no = "no";
    lead.no_goes = "→ 8 and 9";
    add_row(cylinders, n, std::move(lead), four, 1);
    add_row(cylinders, n, Branch{"If no"}, {}, 2);
    add_row(cylinders, n, step("Hang a do-not-drive tag on the handlebar."), four, 2);
    add_row(cylinders, n, Stop{"STOP – NOT TO BE DRIVEN", "A cracked insulator drops into the engine."}, {}, 2);
    Repeat again;
    again.text = "Is the spark gap within its limits?";
    again.again = "If no: again from step 6, at most 3 ×.";
    again.rounds = 3;
    again.otherwise = "still not: go on with 11, else with 12";
    again.yes = "yes";
    again.yes_goes = "→ 12";
    again.no = "no";
    add_row(cylinders, n, std::move(again), four, 1);
    add_row(cylinders, n, Branch{"If it is still not after 3 times"}, {}, 2);
    add_row(cylinders, n, step("Unpack a new plug, gapped by its maker."), four, 2);
    Step plug = step("Torque: spark plug");
    Torque small = guide_bolt();
    small.name = "spark plug";
    small.value = "12";
    small.second = "8.9 lbf·ft";
    small.socket = "16 mm hex";
    small.wrench = "wrench A";
    small.initials = false;
    plug.panel = std::vector<Torque>{small};
    add_row(cylinders, n, std::move(plug), four);
    made.sections.push_back(std::move(cylinders));

    Section once;
    once.columns = {""}; // no title
    Step written = step("Write down: which cylinder misfires, and when");
    written.panel = Note{"which cylinder misfires, and when", true};
    add_row(once, n, std::move(written), {true});
    Step batch = step("Write down: batch");
    batch.panel = Note{"batch", false};
    add_row(once, n, std::move(batch), {true});
    Step pin = step("Push a new pin through nut and axle.");
    pin.notes = {"new: split pin", "tool: spring pliers"};
    pin.second_check = true;
    pin.second_check_note = "not by the one who did it";
    add_row(once, n, std::move(pin), {true});
    made.sections.push_back(std::move(once));
    ending(made);
    made.foot.own = "Fernhollow Works – bring this slip along.";
    made.file_stem = "2026-0412-1-everything";
    return made;
}

inline Card blank_card() {
    Card made = sketch_card();
    made.head.meter.clear();
    made.head.job.clear();
    made.head.date.clear();
    made.head.known_by.clear();
    made.head.identity.clear();
    made.head.card = 0;
    made.head.cards = 0;
    made.head.blank = "BLANK CARD";
    made.head.blanks = {"registration", "meter reading", "date"};
    made.findings.next_service.clear();
    made.file_stem = "front-disc-service-ostrel-haul-300";
    return made;
}

inline Cover cover() {
    Cover made;
    made.language = "en";
    made.head = head();
    made.head.title = "Cover sheet";
    made.words = words();
    made.own = {"Customer",
                "The customer says",
                "The work",
                "sheets",
                "pages",
                "Everything to fetch",
                "the small figures say for which cards",
                "Who works on it",
                "Does the work",
                "name",
                "started",
                "finished"};
    made.foot.text = "Follow the maker's service manual.";
    made.foot.own = "Fernhollow Works, the old mill";
    made.customer = "R. Alder";
    made.says = "The brake squeals when it is cold, and the trike pulls to the left when I brake hard.";
    made.minutes = "60–95 min";
    made.cards = {{1, "Front wheels off", "15 min"},
                  {2, "Front disc brake – pads and guides", "35–50 min"},
                  {3, "Front wheels on", ""}};
    made.fetch = {
        {"Torque wrenches", "wrench", {{"wrench B, 10–60 N·m", "", "no. FW-0118, calibrated to 2027-03-01", {2}}}},
        {"Tools", "tool", {{"disc micrometer", "", "", {2}}, {"brass brush", "", "", {1, 2, 3}}}},
        {"Consumables", "consumable", {{"medium thread-locker", "4 drops and 10 mL", "", {2}}}},
        {"Renew", "renew", {{"banjo washer", "4 ×", "", {2, 3}}}}};
    made.stopped = "Stopped half-way? Fill in “Work stopped here” at the end of the card.";
    made.torques = {{2, 35, "23 N·m", "lower guide bolt, left and right", "wrench B · card 2, step 35"},
                    {3, 13, "20 N·m, +90°", "front wheel nut", "left-hand thread · wrench C · card 3, step 13"}};
    made.signs = {"AB", "CD"};
    made.check_rule = "Second check: not by the one who did it";
    made.next_service = "next service at 18 460 km";
    made.file_stem = "2026-0412-0-cover";
    return made;
}

} // namespace benchleaf::sample
