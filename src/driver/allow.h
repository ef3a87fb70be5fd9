// `allow` on a step: the author has read a warning and says why he is right. It takes away the warnings and notes of that check whose
// first label lies in the step's own lines, not in those of steps inside it, and no error ever. The stages know nothing of it: they
// say what they find, and this goes over what was said.
#pragma once

#include "messages/message.h"
#include "model/model.h"

#include <string>
#include <vector>

namespace benchleaf::driver {

struct Allow {
    const model::Step* step = nullptr;
    std::string check;
    source::Span name; // where the check is named
    bool used = false;
};

// In the order of the files.
std::vector<Allow> allows_of(const model::Model& model);

// The messages without what is allowed; what allowed one is marked as used.
messages::Messages without_allowed(const messages::Messages& all, std::vector<Allow>& allows);

} // namespace benchleaf::driver
