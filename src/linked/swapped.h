// Decisions of which the two ways seem to be swapped: what the good thing gets, and the bad one does not. Two checks tell of it, and those
// that ask what becomes of a bad thing leave it to them.
#pragma once

#include "linked/look_over.h"

#include <set>

namespace benchleaf::linked {

// The questions that an `if-answered` takes up with a no: what is bad is dealt with there.
std::set<StepId> answered_with_no(const Procedure& procedure);

// What is renewed or adjusted because it is good, while nothing is done about a bad one.
struct Righted {
    const Step* step = nullptr; // null: nothing
    const Target* target = nullptr;
};
Righted righted_when_good(const Linked& linked, const Step& decision, const Looked& looked,
                          const std::set<StepId>& answered_no);

// The step with which the work ends because all is good, while it goes on where it is not; null if there is none.
const Step* stop_when_good(const Step& decision);

} // namespace benchleaf::linked
