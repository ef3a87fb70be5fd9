// A job card as content: every word, figure, tick, box and signature in the order in which it is read, in the card's language, with no
// thought of paper. pages/ sets it, text/ and json/ print it; none of them looks further back than this.
//
// Columns: a section of work on an axis has one column of ticks for each value ("L", "R"); a section worked once has one column without a
// head. `marks` of a row says in which columns it has a tick or a box.
//
// Beside its words stands what whoever takes the filled-in card has to know to judge it: names as the shop's files have them, figures as quantities,
// what has to be answered for a row to be worked. That is not printed, and is no part of the digest.
#pragma once

#include "mechanics/outlook.h"
#include "pictures/pictures.h"

#include <compare>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace benchleaf::card {

enum class Level : std::uint8_t { danger, warning, caution, notice };

struct Caution {
    Level level = Level::notice;
    std::string signal; // DANGER, WARNING … in the card's language
    std::string hazard;
    std::string avoid;
};

// Seen from above, the front of the vehicle upwards.
struct Wheel {
    bool here = false; // the card is worked at it
    std::string head;  // "L": of the column of ticks that is its; may be empty
};
using Axle = std::vector<Wheel>; // from left to right

struct Head {
    std::string shop;
    std::string title;
    std::string vehicle;
    std::string known_by;              // the first of its identity, without its label: "TX 30 418"
    std::vector<std::string> identity; // the rest: "frame OH3-00417", …
    std::string meter;                 // "12 460 km"; empty on a blank card
    std::string job;                   // empty on a blank card
    std::string date;                  // of the job; empty on a blank card
    std::string blank;                 // "BLANK CARD", on one; else empty
    // Both filled by the driver, and no part of the digest: the work is the same.
    std::string not_approved;     // "NOT APPROVED"; empty: it is
    std::string not_approved_why; // "Nobody has approved this procedure as it stands: c79c dbd6 …"
    std::string revision;         // "revision 3"
    std::uint32_t card = 0;       // 3 of 6; 0 on a blank card
    std::uint32_t cards = 0;
    std::string code;   // what the QR square says
    std::string digest; // SHA-256 of the card, hexadecimal, cut to what the foot shows; filled by the driver
    std::vector<std::string>
        blanks;              // on a blank card, what is written in by hand: "registration", "meter reading", "date"
    std::vector<Axle> axles; // from the front; empty where nobody tells the wheels or where the card is worked
};

// "wrench B, 10–60 N·m (calibrated to 2027-03-01)"
struct Line {
    std::string text;
    std::string amount; // "60 mL", "2 ×"; may be empty
};

// Where a torque stands, for whoever looks for it.
struct TorqueLine {
    std::uint32_t card = 0; // that it stands on
    std::uint32_t step = 0;
    std::string value; // "23 N·m"
    std::string name;  // "lower guide bolt, left and right"
    std::string about; // "threads with thread-locker · wrench B · card 2, step 35"
};

// What an earlier visit of the vehicle left open, with boxes for how it stands now. Beside what is printed, how a record calls it: by its job, and by its
// item and side or by what was written.
struct OpenLine {
    std::string what;  // "front brake disc, left: advise"
    std::string visit; // "2026-11-25 · 12 460 km · 2026-0412"
    std::string job;
    std::string item, at;
    std::string also_found;
    std::string declined;
    std::string recheck;
};
struct OpenList {
    std::string title;           // "Open from earlier visits"
    std::string done, still;     // "done", "still open"
    std::vector<OpenLine> lines; // on the first card of a job; what is to be done now first, then the newest
    std::string more;            // how many there are besides, and what tells them all; may be empty
};

struct Before {
    std::vector<Caution> cautions;       // of the whole procedure
    std::vector<std::string> states;     // each with a tick: "front end on stands"
    std::vector<std::string> protection; // personal protection, each with a tick
    std::vector<Line> tools;
    std::vector<Line> consumables;
    std::vector<Line> renew;         // parts to renew always
    std::vector<Line> may_need;      // parts inside a question
    std::string minutes;             // "35–50 min"; empty when nothing is known
    std::vector<TorqueLine> torques; // of the card, in its order, where no cover sheet says them
    OpenList open;
};

// What was answered on the way to a row. `over`: a repeat was worked as often as it may be, and it was still no.
struct Answered {
    enum class How : std::uint8_t { yes, no, over };
    std::uint32_t step = 0;
    How how = How::yes;
    auto operator<=>(const Answered&) const = default;
};

// -- The panel at the right of a row: what is read or written there ---------------------------------------------------------
struct Torque {
    std::string name;      // of the fastener
    bool named = false;    // printed beside the figure: the row has several, or its words do not name this one
    std::string value;     // "25": the largest thing in its row; of stages the last torque
    std::string unit;      // "N·m"
    std::string tolerance; // "±10 %"
    std::string second;    // "18 lbf·ft"
    std::vector<std::string>
        stages; // "20 N·m · 15 lbf·ft", "+90°": where there is more than one, or not a torque alone
    std::vector<std::string>
        stage_wrenches; // by stage, where they take more than one; empty for a stage without a torque
    std::string socket; // "12 mm hex"
    std::string
        wrench; // "wrench B"; "torque wrench for 50 N·m" in a shop that has none; empty where the stages name theirs
    std::string source;          // "maker's manual, front brake"
    std::string order;           // of a ring, whose turn each place is, clockwise: "1 4 2 5 3"; empty without a pattern
    std::string rounds_text;     // "2 × round"; empty for one
    std::uint32_t rounds = 1;    // of the whole group, each with its own ticks
    std::string left_hand;       // "left-hand thread"; else empty
    std::uint32_t fasteners = 1; // a small tick for each when more than one
    bool value_box = false;      // `record: value`
    bool initials = false;       // critical: who did it
    std::string item;            // the fastener, as the shop's files call it
    std::optional<units::Range> range; // what a value that is read may be; of stages that of the last torque
};

// Where the marks of a drawn wear bar stand, in thousandths of its length, with the figures at them. The size when new is at its right end
// (1000); what is left at the limit is drawn as a stub of one length whatever it is, so that a disc of 4.5 mm that may wear by 0.5 can be read.
struct WearBar {
    static constexpr std::uint32_t limit_at = 160;
    struct Mark {
        std::uint32_t at = 0;
        std::string text; // "4.6"
    };
    Mark limit;
    Mark keep;
    Mark as_new;
    std::optional<Mark> expected;
};

// By what a reading is judged.
struct HeldAgainst {
    std::string
        limit; // as the shop's files call it: "pad-thickness", or with its catalogue where two have one of that name
    std::string item;            // likewise; empty where the limit is of nothing
    std::vector<std::string> at; // by column of the section, which of them it is: "left"; empty where there is one
    std::optional<units::Quantity> minimum;
    std::optional<units::Quantity> maximum; // `within` gives both
    std::optional<units::Quantity> as_new;
    std::optional<units::Quantity> reads_to;
    std::optional<units::Quantity> uncertainty;
    std::optional<units::Quantity> difference;        // the most that readings along the axis may differ by
    std::optional<units::Unit> unit;                  // where no figure has one
    std::optional<units::Quantity> interval;          // of the meter, to the next service
    units::Decimal margin{};                          // on the wear to expect
    bool wears = false;                               // with what the vehicle's meter counts
    std::vector<mechanics::WearPast> past;            // by column; empty where nothing wears
    std::vector<std::optional<units::Quantity>> keep; // by column, as many as `past`
};

struct Reading {
    HeldAgainst held;
    std::string name;         // "inner brake pad"
    std::string column_note;  // where the reading is of one thing of several in the row
    std::string limit;        // "limit 2.0 mm", "25–35 mm", "at most 0.08 mm"
    std::string new_size;     // "new 9.0 mm"; may be empty
    std::string last;         // "last L 6.4 · R 6.1", "no earlier record"
    std::string expected;     // may be empty
    std::string keep;         // "keep ≥ 4.1 mm"; empty when nothing is known to reckon it from
    std::string unit;         // in the box
    std::uint32_t points = 1; // boxes a column
    std::string worst;        // of several points, which of them decides, in a box of its own: "greatest"; may be empty
    std::string note;         // "difference left to right at most 1 mm"
    std::optional<WearBar> bar; // of a part that wears down and whose keep figure is known
    std::vector<bool> marks;    // as its row's, where it is not read in all of the row's columns; else empty
};

struct Note { // a box for something written down
    std::string text;
    bool wide = true;
};

struct Grades {                     // of what is looked at, one box for each in each column
    std::vector<std::string> words; // good, advise, act now
    std::vector<std::string> of;    // of several things in one row, each with its own boxes; else empty
    std::vector<std::string> items; // what is looked at, as the shop's files call it; as many as `of`, or one
};

using Panel = std::variant<std::monostate, std::vector<Torque>, std::vector<Reading>, Note, Grades>;

// How often a row may be worked once more, in the repeats that it stands in, and how many boxes there are for that beside those of the
// first time: one a round, or one for the last.
struct Again {
    std::uint32_t rounds = 0;
    std::uint32_t boxes = 0;
    std::string note;    // of several points: that the worst reading counts; may be empty
    std::string if_last; // what is said where there is one box for the last round
};

// Which round a box is for: "2", or "1–4" for the last of so many.
inline std::string rounds_of(const Again& again, std::uint32_t box) {
    return again.boxes == 1 && again.rounds > 1 ? "1–" + std::to_string(again.rounds) : std::to_string(box);
}

// What is said under the boxes of the rounds.
inline std::string note_of(const Again& again) {
    if (again.boxes == again.rounds || again.if_last.empty()) return again.note;
    return again.note.empty() ? again.if_last : again.if_last + " · " + again.note;
}

// -- Rows -----------------------------------------------------------------------------------------------------------------
struct Renews { // the wear of which counts from here
    std::string item;
    std::string name;
    std::int64_t count = 1;
    std::optional<std::size_t> column; // where that is worked; none: wherever the row is
    std::string at;                    // "left"; empty where there is one
};

// What a row takes, in all its columns.
struct Takes {
    std::string what;
    std::optional<units::Quantity> amount; // pieces where it is a part
};

struct Step {
    std::string text;
    std::string why;
    std::vector<std::string> notes; // "2 drops", "look for: cracks, glaze": short lines under the text
    Panel panel;
    bool second_check = false; // its own initials box, "not by the one who did it"
    std::string second_check_note;
    std::string
        second_check_time; // "time": when it was made; empty where somebody else makes it, who needs no distance
    Again again;           // of the readings, initials and second check
    std::vector<Renews> renews;
};

// What answers a question: a limit, by its name in `HeldAgainst`, or what was looked at in a step.
struct DecidedBy {
    std::string limit;
    std::uint32_t inspection = 0;
};

struct Question {
    std::string text;
    std::vector<std::string> basis; // what answers it: "lining at or above its keep figure"
    std::string yes;                // "yes"
    std::string yes_goes;           // "→ 9"
    std::string no;
    std::string no_goes;                 // "→ 7 and 8"
    std::vector<DecidedBy> decided_by{}; // all of it; empty: he sees it himself
};

struct Repeat {
    std::string text;               // "Does it run clear?"
    std::vector<std::string> basis; // what answers it, if it is more than one thing
    std::string again;              // "If no: again from step 7, at most 3 ×."
    std::uint32_t rounds = 1;       // tick boxes for no, one a round
    std::string otherwise;          // "still not: go on with 12"; may be empty
    std::string yes;                // "yes"
    std::string yes_goes;           // "→ 12"
    std::string no;
    std::uint32_t from = 0; // the number of the step that a round begins with
    std::vector<DecidedBy> decided_by{};
};

struct Stop {
    std::string headline; // "STOP – NOT TO BE DRIVEN"
    std::string why;
};

struct Branch { // the head of a way: "If no" – its rows follow with a greater depth
    std::string text;
};

// A number on a picture: where on it, in ten-thousandths of its width and height from the left and the top, is what it points at, and where the
// number itself stands.
struct Mark {
    std::uint32_t number = 0;
    std::int32_t across = 0;
    std::int32_t down = 0;
    std::int32_t number_across = 0;
    std::int32_t number_down = 0;
};

struct Pointed { // what a number stands for
    std::uint32_t number = 0;
    std::string text; // "lower guide bolt"
};

struct Picture {
    std::string file;  // from the shop's folder
    std::string shows; // in words, for who cannot see it
    std::vector<Mark> marks;
    std::vector<Pointed> legend;                      // in the order of the numbers
    std::shared_ptr<const pictures::Picture> picture; // never null
};

struct Row {
    std::uint32_t number = 0;      // printed; 0 for a branch head
    std::uint32_t depth = 0;       // how far it is set in and barred: 0 is on every way
    std::vector<Caution> cautions; // printed before it, kept with it
    std::vector<bool> marks;       // by column of its section
    std::variant<Step, Question, Repeat, Stop, Branch> what;
    std::optional<Picture> picture;
    std::string name;              // a stable path for boxes and form fields: "step-7"
    std::vector<Answered> reached; // it is worked where all of this was answered
    std::vector<Takes> takes;
};

struct Section {
    std::string title;                // may be empty
    std::string order;                // "down the left column first, then down the right"; "once, for both sides"
    std::vector<std::string> columns; // column heads; one empty string when worked once
    std::vector<std::string> at;      // by column: "left"; empty where it is of no value of an axis
    bool bound = false;               // worked down one column after the other
    std::vector<Row> rows;
};

// -- After the work ---------------------------------------------------------------------------------------------------------
struct Findings { // besides what was graded where it was looked at
    std::string title;
    std::string also_found;
    std::string declined;
    std::string next_service; // "next service at 18 460 km"
};

struct StopStrip {
    std::string title;
    std::vector<std::string> fields; // time, at step, state
    std::string warning;             // "do not drive"
    std::string what_to_do;
};

struct CloseOutLine {
    std::string text;                          // "lower guide bolt at 25 N·m, left and right"
    std::string field;                         // a blank to fill in: "applied __:__ + 20 min"; may be empty
    std::vector<std::vector<Answered>> when{}; // so where all of one of these was answered
};

struct ToTell { // what is to be done once the vehicle has left: so where all of one of these was answered
    std::string text;
    std::vector<std::vector<Answered>> when{};
    std::string recheck; // the fastener whose torque somebody has to check; empty: it is good to know
};

struct CloseOut {
    std::string title;
    std::vector<CloseOutLine> lines;     // each with a tick
    std::vector<std::string> later;      // "full strength after 24 h", "recheck wheel nuts after 50 km"
    std::vector<ToTell> to_tell;         // of `later`, what the customer has to know
    std::string wrenches;                // with their numbers, where no cover sheet says them: "wrench B, no. FW-0118"
    std::vector<std::string> signatures; // done by, second check, wrench used, gauge used, date, time
    std::string check_rule;              // who may do the second check
    std::size_t signers = 0;             // the first so many are people's names
};

struct Foot {
    std::string text; // cannot be removed
    std::string own;  // what the shop adds
};

// The few words that layout itself prints.
struct Words {
    std::string page_of;  // "page {} of {}"
    std::string sheet_of; // of a booklet
    std::string card_of;
    std::string job;
    std::string before, states, states_none, protection, tools, consumables, renew, may_need, none, minutes, torques;
    std::string initials, second_check, order, why;
    std::string continued; // after a section's title on a new page
};

struct Card {
    std::string language; // BCP 47: "en"
    std::string procedure;
    std::uint32_t revision = 0;
    Head head;
    Before before;
    std::vector<Section> sections;
    Findings findings;
    StopStrip stop_strip;
    CloseOut close_out;
    Foot foot;
    Words words;
    std::string file_stem; // "2026-0412-3-front-disc-service"
};

} // namespace benchleaf::card
