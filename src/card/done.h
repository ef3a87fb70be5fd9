// What the rows of a card do that its close-out has to speak of: to which item, on which values of its axis, and on which answers.
// Private to card/.
#pragma once

#include "card/unfold.h"
#include "model/verbs.h"

#include <map>
#include <vector>

namespace benchleaf::card {

// Whether something was done, as far as the answers tell: any of these, each of them all of its answers. One that is empty: always.
using When = std::vector<std::vector<Answered>>;

// The same, as short as it can be said: what holds for yes and for no goes without that question.
When simplified(When when);

struct Done {
    enum class What : std::uint8_t {
        torqued,     // or its torque was rechecked
        torqued_new, // and it was not tight before
        moved,       // came to a place
        paid,        // `debt`
        locker       // `locker` was put on it
    };
    What what = What::moved;
    linked::ItemId item;
    fitted::AxisValue value = fitted::no_value; // of the item's axis, where that has more than one on this vehicle
    model::Debt debt{};
    linked::ItemId vent; // of a bleed: where, and `value` is that of the vent
    linked::ConsumableId locker;
    std::vector<Answered> when;
};

// In the order of the rows. What a stop follows on its way is left out: the vehicle does not leave the shop on it.
std::vector<Done> what_is_done(const fitted::Fit& fit, const linked::Linked& linked, const Unfolded& unfolded);

// Things done alike: values of one axis on which they are done on the same answers.
struct Alike {
    std::vector<fitted::AxisValue> values; // empty: the item has none
    When when;
};
std::vector<Alike> alike(const std::vector<const Done*>& all);

// The questions that have to be named for an answer to be told: one that stands on a way of another speaks for that, too.
std::vector<Answered> told(const std::vector<Answered>& answers, const Unfolded& unfolded);

} // namespace benchleaf::card
