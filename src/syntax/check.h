// A check over one file's Syntax: a trap of YAML that the parser lets through. Each lives in checks/ in a file of its
// own; the table is made by the build.
#pragma once

#include "messages/message.h"
#include "syntax/syntax.h"

#include <span>

namespace benchleaf::syntax {

// What the parser saw at one event, for the checks that must look at the spelling (quotes, anchors, tags, documents).
struct Check {
    messages::Rule rule;
    // Looks over a whole file; may be null for what only the parser itself can see (`bad-yaml`, `bad-utf-8`).
    void (*find)(const Syntax& syntax, const source::Sources& sources, const Check& self,
                 messages::Messages& out) = nullptr;
};

std::span<const Check* const> all_checks();

} // namespace benchleaf::syntax
