// How boxes are called. Private to record/.
#pragma once

#include "record/asks.h"

#include <array>
#include <string>
#include <string_view>

namespace benchleaf::record {

inline constexpr units::PrintOptions plain{.plain_spaces = true}; // as somebody types it

inline constexpr std::array<std::string_view, 3> grade_words{"good", "advise", "act now"};

// Of the boxes that figures are written in, the unit that is printed there.
std::map<std::string, std::string> units_of_boxes(const Sheet& sheet);

// All that the cards can ask for, whichever way is gone.
std::vector<Ask> every_ask(const Sheet& sheet);

// The same where the text has one number; 0 where it has several.
std::uint32_t only_number_in(std::string_view text);

// What keeps a figure and its unit on one line of a card is a plain blank for who types.
std::string with_plain_blanks(std::string text);

// The first number in a text: 14 of "step 14"; 0 where there is none.
std::uint32_t number_in(std::string_view text);

} // namespace benchleaf::record
