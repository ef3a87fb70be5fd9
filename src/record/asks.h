// What the cards of a job ask for, in the order in which they are worked, and what was answered so far: the asks that the answers lead to, each with
// its boxes, what stands in them, the verdict that follows and what is wrong with it. Whoever takes answers shows them one by one; when none that has
// to be answered is left, and nothing is wrong, a record can be made of them (make.h).
//
// Answers stand by the names of the cards' boxes (`card-2/step-5/reading-1/1`), which are those of the fields of a PDF form. A tick is "x". A repeat that was
// still not good after its last round has no box for that on the card; it is said as `…/over/1`.
#pragma once

#include "card/card.h"
#include "mechanics/date.h"
#include "mechanics/wear.h"
#include "messages/message.h"
#include "model/model.h"

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace benchleaf::record {

using Answers = std::map<std::string, std::string, std::less<>>;

// The cards of one job as they were printed.
struct Sheet {
    const model::Job* job = nullptr;
    const model::Shop* shop = nullptr;
    std::string vehicle; // what it is called
    std::vector<const card::Card*> cards;
    // Where work is gone on with: the day on which it was stopped, and on which card, counted from 1.
    std::optional<std::pair<mechanics::Date, std::size_t>> stopped;
};

// What is wrong with an answer, or lacking.
struct Complaint {
    const messages::Rule* rule = nullptr;
    std::string text; // one sentence, no full stop
    std::string help;
    bool lacking = false; // nothing was answered
    std::string where;    // "card 2, step 16: lining thickness, left"
};

struct Ask {
    enum class Sort : std::uint8_t {
        ticks,   // of steps: all of them, but for those that are named
        tick,    // one thing that has to be so
        reading, // of a gauge
        points,  // several of one, the decisive one may be written once more
        value,   // that a tool shows
        grade,   // good, advise, act now
        yes_no,
        done,     // of what an earlier visit left open: done, or still open
        round,    // of a repeat: yes, or once more
        initials, // of somebody who may sign
        time,
        date,
        words
    };
    Sort sort = Sort::ticks;
    std::size_t card = 0;   // from 1
    std::uint32_t step = 0; // 0: no step's
    std::string section;    // in which it stands, with its column
    std::vector<std::string> boxes;
    std::vector<std::string> names; // of ticks: what each is called when it is left out: "5", "5-left", "5.2"
    // Of ticks: what each is of: "5. Clean the threads, left", "axle nut, left, the 2. of round 2".
    std::vector<std::string> step_texts;
    std::string signs;   // of the ticks of a critical torque: the box of who set it, whose initials say that they are
    std::string what;    // "disc thickness, left"
    std::string shows;   // "at least 4.00 mm · keep ≥ 4.20 mm · last 4.35 mm"
    std::string unit;    // that the box prints
    std::string expects; // what would be right, if that is known: "yes"
    bool required = true;
    bool answered = false;
    std::string given;   // what stands there, as it is typed
    std::string verdict; // what follows: "within", "no: step 10 comes next"
    std::optional<Complaint> complaint;
    std::string
        doubt; // what speaks against a reading that may be right all the same: "more than the last time, 3.5 mm: …"

    // For who makes the record of it.
    const card::Row* row = nullptr;
    const card::Reading* reading = nullptr;
    const card::Torque* torque = nullptr;
    const card::OpenLine* earlier = nullptr;
    std::size_t column = 0;
    std::string at;   // "left"
    std::string item; // of a grade, a torque, a reading
    std::int64_t round = 1;
    std::vector<units::Quantity> sizes;
    std::optional<units::Quantity> keep;
    std::optional<mechanics::Verdict> held;
    std::optional<bool> yes;
    std::optional<model::Grade> grade;
    std::string
        closes; // "steps": all ticks of the steps; of what is signed at the end: "done-by", "checked-by", "wrench", "gauge", "date", "time", "also", "declined", "line" …
};

struct Worked {           // a row of a card in one of its columns
    std::size_t card = 0; // from 1
    const card::Row* row = nullptr;
    std::size_t column = 0;
};

// What the asks say together.
struct Look {
    std::vector<Worked> worked;    // what the answers lead to
    std::vector<Ask> asks;         // those that the answers lead to, and the next one
    bool stopped_for_good = false; // a way ended in STOP
    std::size_t stopped_on = 0;    // the card on which the work was stopped half-way; 0: on none
    struct Later {
        std::size_t card = 0;
        card::ToTell what;
    };
    std::vector<Later> later;             // what is to be done, or known, after the vehicle has left
    std::vector<std::string> behind_stop; // what the boxes of the rows begin with that come after the work was stopped
    std::vector<std::pair<std::string, Complaint>> strangers; // boxes that no card has, or that nothing may stand in
};

// What “work stopped here” means on a card: the work ended there; or, on paper that lay on the bench until the end, that it did unless all that comes after it
// is there as well.
enum class Stops : std::uint8_t { end_it, may_be_gone_on_with };
Look look_over(const Sheet& sheet, const Answers& answers, Stops stops = Stops::may_be_gone_on_with);

std::string verdict_words(mechanics::Verdict verdict); // "within, but not to the next service"

bool lacks(const Ask& ask); // it has to be answered, and is not

// Letters and blanks, of which a line is written: no control characters, nothing that turns the direction of writing, no broken UTF-8, and at most two
// thousand.
bool in_letters(std::string_view text);

// What the names of a card's boxes begin with: "card-2/" in a booklet; nothing where the job has one card.
std::string prefix_of(const Sheet& sheet, std::size_t card);

// Of “work stopped here” on a card: date, time, the step that comes next, state.
std::vector<std::string> stop_boxes(const Sheet& sheet, std::size_t card);

// All names of boxes that somebody writes in on the cards, by name; not those of a cover sheet.
std::vector<std::string> all_boxes(const Sheet& sheet);

// On paper a row that would be higher than a sheet has fewer boxes for its rounds than the card that it was made of. `names`: of the boxes that there are, without
// what they begin with in a booklet. Nothing else of the card is changed.
void keep_boxes(card::Card& card, const std::set<std::string, std::less<>>& names);

// The answers of work that is gone on with: those given since, and the earlier ones beside them. Of a question, a reading or a finding that is answered anew
// nothing earlier stays, and neither does what the way that is gone by now does not ask for. `anew`: of those what was otherwise, or is gone.
struct GoneOn {
    Answers answers;
    std::vector<std::string> anew; // "card 2, step 16: lining thickness, left: 1.0 mm → 6.4 mm"
};
GoneOn gone_on_with(const Sheet& sheet, const Answers& earlier, const Answers& since);

// What a typed line puts into the boxes of an ask: names with their texts, an empty text to clear one. Or what is wrong with it.
std::variant<Answers, Complaint> take(const Ask& ask, std::string_view typed, const Sheet& sheet);

// What was filled in all at once, as it is to be answered: without what is empty, and with the answer that a repeat was still not good, which has no box. In
// a form a number in a box that prints its unit is of that unit, and where the card's language writes a decimal comma that is a point.
enum class Written : std::uint8_t { in_a_form, in_a_file };
Answers filled_in(const Sheet& sheet, const Answers& boxes, Written written);

} // namespace benchleaf::record
