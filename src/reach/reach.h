// What each file of a shop names, declares and asks for, as far as another file is judged by it; and by that, how far a change reaches: which
// files have to be looked at anew, and which others make up a shop with them that is small and has all that they need. It is kept from one
// check to the next, so a name is kept as a number of 64 bits that is reckoned from its letters.
//
//     const Reach after = reach_of(linked, sources);          // of a shop that nothing is wrong with
//     const auto smaller = smaller_shop(before, now, changed);  // their paths; nothing: it has to be looked at as a whole
//
// What may be left out of the smaller shop was looked at before, and nothing that it was judged by has changed. That holds only where nothing was, and
// nothing is wrong but what a file says of itself alone, or a procedure by what stands near it (`Sight`): else the whole shop is looked at, for what is
// told of one file may name any other.
#pragma once

#include "linked/linked.h"
#include "linked/torque_units.h"
#include "model/model.h"
#include "source/source.h"

#include <array>
#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace benchleaf::reach {

using Mark = std::uint64_t; // of a name
Mark mark_of(std::string_view name);
Mark mark_of(Mark outer, std::string_view name); // of one that is unique within another: `engine/drain-plug`
Mark mark_of(Mark outer, Mark inner);

enum class Kind : std::uint8_t { shop, catalogue, procedure, vehicle, job, answers, approval };

// What a file does with an entry of a catalogue, as far as that decides of others.
enum Role : std::uint16_t {
    names = 1U << 0,
    uses = 1U << 1,       // not only as its own, or for its torque (unused-entry)
    applies = 1U << 2,    // a consumable (threads-left-bare)
    binds = 1U << 3,      // an item of it is held, hidden, moved or locked by this one (named_by.h)
    measures = 1U << 4,   // (measured-for-nothing, set-and-not-read)
    decides = 1U << 5,    // (measured-for-nothing)
    has_torque = 1U << 6, // says how tight it is (shut-in)
    backs_off = 1U << 7,  // and that it is loosened in between (says-the-opposite)
    enters = 1U << 8,     // begins or ends with it otherwise than at rest
};

struct Entry {
    Mark of;
    std::uint16_t roles = 0;
    bool operator==(const Entry&) const = default;
};

struct Condition {
    Mark feature;
    std::vector<Mark> values;
    bool operator==(const Condition&) const = default;
};
using Conditions = std::vector<Condition>; // all of them have to be met

struct File {
    Kind kind{};
    Mark id = 0;
    std::vector<Mark> refs;     // files, by the marks of their paths: where what it names is declared; sorted
    std::vector<Entry> entries; // of catalogues, sorted
    std::vector<Mark>
        words; // of vehicles and jobs, who see all catalogues: the names that they ask for, as they are written; of
               // jobs also what tells the vehicle
    std::vector<std::pair<Mark, Mark>>
        set_by;                      // of a catalogue: a limit, and a nut that sets what it is of (set-and-not-read)
    std::vector<Mark> declares;      // of a catalogue: its entries, by their names alone; sorted
    std::vector<Mark> own;           // likewise, with the catalogue's name before them
    std::optional<Conditions> fits;  // of a procedure
    std::vector<Conditions> only_on; // of a catalogue's items
    std::vector<Mark> asked;         // each feature, and each value, that a condition asks for
    std::vector<std::pair<Mark, Mark>> has;  // of a vehicle: feature, value
    std::vector<std::pair<Mark, Mark>> axes; // likewise: axis, value
    std::vector<Mark> only;                  // of a procedure: each value of an axis that a step is narrowed to
    std::vector<std::string> pictures;
    std::uint32_t steps = 0;
    std::array<std::uint32_t, linked::sorts_written>
        torques{};              // of a catalogue or vehicle, by the sort of their unit (torque-in-other-units)
    std::vector<Mark> unlinked; // of a changed one, until it was linked: all words of its text
    bool operator==(const File&) const = default;
};

using Reach = std::map<std::string, std::shared_ptr<const File>>; // by path; what has not changed is the same

// Of a shop that nothing is wrong with: each of its files that is read. `sources` have the texts of its vehicles and jobs.
Reach reach_of(const linked::Linked& linked, const source::Sources& sources);

// Those within others included, and the heads of sections not.
std::uint32_t steps_of(const model::Procedure& procedure);

// What a record tells, by which others and jobs belong to it: its name, those that it corrects or goes on with, and the numbers of the vehicle.
using Told = std::vector<Mark>;
Told told_by(const model::Record& record);
Mark mark_of_number(std::string_view sort, std::string_view number); // of a vehicle, however it is spelled

// Of the records, those that belong to what is `told`, or to another that does.
using Tells = std::span<const Mark>;
std::vector<std::size_t> belonging(const std::vector<Tells>& records, const std::vector<Mark>& told);

// All that may be a name in a text. (One that is spelled "\u0061" is not among them. It is not found then, or found out once it was linked.)
std::vector<Mark> words_of(std::string_view text);

using Paths = std::set<std::string>;

// The files to look at when those of `changed` are not as they were `before`. `now` is what is known of all files of today: of a changed one what was
// known before, and all its words; once the smaller shop was linked, what it is; then ask again. Nothing: no smaller shop will do.
struct Smaller {
    Paths all;
    Paths reached; // that may be judged otherwise than before; the others are there for their sake
};
// Where something is wrong, what would mend it is looked for among others, too. `wide` takes in, of the catalogues that are there, whatever procedure
// begins or ends with an entry, for a vehicle of those that changed; and of each entry one who names it. `widest`: for any vehicle.
enum class Sight : std::uint8_t { near, wide, widest };
std::optional<Smaller> smaller_shop(const Reach& before, const Reach& now, const Paths& changed,
                                    Sight sight = Sight::near);

// Is an entry of that name declared in any other file than those of `inside`?
bool is_declared_elsewhere(const Reach& now, const Paths& inside, std::string_view name);

// What a look at a smaller shop cannot tell: no two files describe one thing, each entry is named by somebody, what is asked of vehicles is spelled as
// before and met by one, and no torque is alone in its sort of unit. False: the whole shop has to be looked at.
struct Judged { // what is judged at all where something is wrong
    bool spelling = true;
    bool use = true;
};
bool stands_as_before(const Reach& before, const Reach& now, Judged judged = {});

} // namespace benchleaf::reach
