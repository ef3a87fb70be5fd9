// Civil dates, as a job and a wrench's calibration have them. `parse_date("2026-11-25")`, ISO 8601 calendar form alone.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace benchleaf::mechanics {

using Date = std::chrono::year_month_day; // compares with <

// nullopt unless the text is `YYYY-MM-DD` and that day exists (years 1900 to 9999).
std::optional<Date> parse_date(std::string_view text);

std::string print(Date date); // `2026-11-25`

// How many days `to` is after `from`; negative when before.
int days_between(Date from, Date to);

} // namespace benchleaf::mechanics
