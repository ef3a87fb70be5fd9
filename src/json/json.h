// Cards as JSON, for other programs: `print(card)` ends in a line feed and follows docs/card.schema.json (JSON Schema draft-07).
// Keys are in kebab-case, in the order in which the card is read; texts are those of the card in its language, and what is empty is
// left out where the schema does not ask for it.
#pragma once

#include "card/card.h"
#include "card/cover.h"
#include "report/due.h"
#include "report/shop.h"

#include <string>
#include <string_view>
#include <vector>

namespace benchleaf::json {

std::string print(const card::Card& card);
std::string print(const card::Cover& cover);

// A whole job; `cover` may be nothing.
std::string print(std::string_view job, const card::Cover* cover, const std::vector<const card::Card*>& cards);

// A vehicle's readings over time with what is reckoned from them, and what is due. Quantities are `{"value": 6.4, "unit": "mm"}`, days ISO 8601.
std::string print(const history::Vehicle& vehicle, const report::Shop& shop);
std::string print(const report::Dues& dues);

} // namespace benchleaf::json
