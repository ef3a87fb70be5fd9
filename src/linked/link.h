// Turns the names of a shop into ids. `link` reports every name that stands for nothing, for two things or for the
// wrong sort of thing, and what steps and parts say of each other that cannot be; it always gives a value. After a
// mistake it goes on with the thing that was most likely meant, or with a hole, so that one mistake gives one message.
// `find_unused` is for a look over a whole shop only. All lists are walked in the order of the files.
#pragma once

#include "linked/linked.h"
#include "messages/message.h"

#include <string>

namespace benchleaf::linked {

// The model must outlive the value.
Linked link(const model::Model& model, const source::Sources& sources, messages::Messages& messages);

// Warns of entries of catalogues that nothing in the shop names. Of a shared folder, which is one with a shop.yaml of its own,
// nothing is said: what this shop does not name another may.
void find_unused(const Linked& linked, const source::Sources& sources, messages::Messages& messages);

// One thing a line, for people and tests.
std::string dump(const Linked& linked);

} // namespace benchleaf::linked
