// What each box that somebody writes in is for, in words: "5. Measure the disc inside its worn lip. · disc thickness · L · mm".
// On paper that is seen from where the box stands; a form on a screen, and who has it read aloud, needs it said. Names of boxes
// are given out in panel.cpp, rows.cpp, before.cpp, after.cpp and head_foot.cpp; here alone they are read.
#pragma once

#include "pages/pages.h"

#include <map>
#include <string>

namespace benchleaf::card {
struct Card;
struct Cover;
} // namespace benchleaf::card

namespace benchleaf::pages {

constexpr bool is_written_in(Role role) {
    return role == Role::tick || role == Role::reading_box || role == Role::initials_box ||
           role == Role::signature_box || role == Role::entry_box || role == Role::write_line;
}

// By the box's name. A name that nothing on the card answers to has no words: a mistake of ours, which a test looks for.
using FieldWords = std::map<std::string, std::string, std::less<>>;
FieldWords field_words(const card::Card& card, const Pages& pages);
FieldWords field_words(const card::Cover& cover, const Pages& pages);

} // namespace benchleaf::pages
