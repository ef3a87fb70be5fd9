// Machine-applicable fixes, applied to the text of one file, and the difference shown before they are written.
//
//     auto after = fixes::apply(fixes, file, text);
//     if (after.skipped) …                              // fixes that overlap an earlier one: run again
//     out << fixes::unified_diff("brakes/front.yaml", text, after.text);
#pragma once

#include "messages/message.h"

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::fixes {

struct Applied {
    std::string text;
    std::size_t applied = 0; // fixes made
    std::size_t skipped = 0; // fixes left out whole, because an edit of theirs meets one of an earlier fix, or does not
                             // lie within the text
};

// Applies the edits in `file`; a fix is made whole or not at all. Edits of other files are left to their own call, and
// a fix that reaches over several files is skipped in all of them but counted once a call. Two insertions at one place
// by different fixes meet; those of one fix keep their order.
Applied apply(std::span<const messages::Fix> fixes, source::FileId file, std::string_view text);

// The first fix of every message that has an edit in `file` and need not be tried, in the order of the messages.
std::vector<messages::Fix> fixes_of(const messages::Messages& messages, source::FileId file);

// Unified diff with three lines around each change; empty when nothing differs.
std::string unified_diff(std::string_view path, std::string_view before, std::string_view after);

} // namespace benchleaf::fixes
