// The lists that stand before the work, and their figures. Private to card/.
#pragma once

#include "card/needs.h"
#include "card/rows.h"
#include "card/tally.h"

#include <map>

namespace benchleaf::card {

Needs make_needs(const Speaker& speaker, const Unfolded& unfolded, const MadeRows& rows);
// What each row takes, in all its columns, by its number.
std::map<std::uint32_t, std::vector<Takes>> takes_of_rows(const Speaker& speaker, const Unfolded& unfolded);
Before make_before(const Speaker& speaker, const Unfolded& unfolded, const Needs& needs);

// As they are put, on a card and on the cover sheet.
std::string wrench_name(const Speaker& speaker, std::size_t index);       // "wrench B"
std::string between(const Speaker& speaker, const Needs::Amount& amount); // "60 mL", "60–90 mL"
// Of the card of that number; `place` says where it stands.
TorqueLine torque_line(const Needs::Torque& torque, std::uint32_t card, const std::string& place);
std::string times(const Speaker& speaker, std::int64_t count); // "2 ×"; nothing for one
std::string minutes_text(const Speaker& speaker, const std::optional<Needs::Amount>& minutes, bool all_timed);

} // namespace benchleaf::card
