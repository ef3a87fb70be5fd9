// Days as ISO 8601 writes them, `2026-11-25`.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace benchleaf::model {

bool looks_like_date(std::string_view text);                                    // dddd-dd-dd
std::optional<std::chrono::year_month_day> calendar_day(std::string_view text); // only if the calendar has it
std::string print(std::chrono::year_month_day day);

} // namespace benchleaf::model
