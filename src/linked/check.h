// A check over the linked shop: names that stand for nothing, steps that refer to each other in a way that cannot be
// worked. Each lives in checks/ in a file of its own, with its level and its wording; the table of all is made by the
// build.
#pragma once

#include "linked/linked.h"
#include "messages/message.h"

#include <span>

namespace benchleaf::linked {

struct Check {
    messages::Rule rule;
    // Looks over the whole shop once it is linked; null for what is found where a name is looked up, which calls the
    // wording in reports.h.
    void (*find)(const Linked& linked, const Check& self, messages::Messages& out) = nullptr;
};

std::span<const Check* const> all_checks();

} // namespace benchleaf::linked
