// Cards as JSON, for other programs: `print(card)` ends in a line feed and follows docs/card.schema.json (JSON Schema draft-07).
// Keys are in kebab-case, in the order in which the card is read; texts are those of the card in its language, and what is empty is
// left out where the schema does not ask for it.
#pragma once

#include "card/card.h"
#include "card/cover.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::json {

std::string print(const card::Card& card);
std::string print(const card::Cover& cover);

// A whole job; `cover` may be nothing.
std::string print(std::string_view job, const card::Cover* cover, const std::vector<const card::Card*>& cards);

} // namespace benchleaf::json
