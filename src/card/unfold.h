// The rows of one card in the order in which they are printed, as a tree: every `do` is gone into, every row has its number, and every
// question says where its answers lead. Private to card/.
//
// A `do` from a section that is bound to a value of the axis runs the called procedure for that value: its rows stand in the
// same columns. A `do` from any other place brings the sections of the called procedure with it.
#pragma once

#include "card/card.h"
#include "fitted/fitted.h"
#include "messages/message.h"

#include <compare>
#include <cstdint>
#include <deque>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace benchleaf::card {

// More rows than this are no card; a chain of `do` can unfold to any number.
inline constexpr std::uint32_t most_rows = 2000;

// A section of the card, as it is to be headed.
struct Place {
    const fitted::Procedure* procedure = nullptr;
    const fitted::Section* section = nullptr; // where the title stands
    bool called = false;                      // by a `do`: the title of the procedure is printed, too
    bool bound = false;                       // worked once for each value of the procedure's axis
    std::vector<fitted::AxisValue> values; // of a bound place: those for which something is done in it on this vehicle
};

// Where the work goes on.
struct GoesOn {
    enum class To : std::uint8_t { step, section_end, close_out };
    To to = To::close_out;
    std::uint32_t step = 0;
    std::size_t place = 0; // of that step
};

struct Node;
using Nodes = std::vector<Node>;

struct Node {
    const fitted::Row* row = nullptr;
    std::size_t place = 0; // into Unfolded::places
    std::size_t frame = 0; // which run of its procedure: ids of steps are known in one
    std::uint32_t number = 0;
    GoesOn after;                            // once the row with all its ways is done
    std::vector<linked::CautionId> brings;   // of a procedure that begins with this row
    std::vector<linked::CautionId> cautions; // to be printed before it; filled by place_cautions
    std::vector<fitted::AxisValue> values;   // in a bound place: the values that it is worked for
    bool narrowed = false;                   // to those that an `only` names, here or where its procedure is called
    std::int64_t again = 0;                  // how often it may be worked once more, in the repeats that it stands in
    std::vector<Answered> when; // where the vehicle leaves the shop although it may not have been worked: all of this
    bool leaves_shop = true;    // no stop follows on its way
    Nodes if_so, if_not, body, otherwise;
};

struct Unfolded {
    std::deque<Place> places;
    Nodes rows;
    std::vector<std::map<linked::StepId, std::uint32_t>> numbers; // by frame
    std::vector<const fitted::Procedure*> procedures;             // the card's own first, then those called, each once
};

// Nothing when the work does not go on a card; a message says why.
std::optional<Unfolded> unfold(const fitted::Fit& fit, const linked::Linked& linked, const fitted::Procedure& procedure,
                               messages::Messages& messages);

// The values of an item's axis on this vehicle; empty when the axis has but one, so that it goes without saying. `only` narrows.
std::vector<fitted::AxisValue> values_of(const fitted::Fit& fit, linked::ItemId id,
                                         const std::vector<fitted::AxisValue>& only = {});

bool always_stops(const Nodes& rows);         // every way through them ends in a stop
std::uint32_t first_number(const Node& node); // of what is printed first of it
std::uint32_t first_number(const Nodes& rows);
std::uint32_t last_number(const Nodes& rows);

} // namespace benchleaf::card
