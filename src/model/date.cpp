#include "model/date.h"

#include <fmt/format.h>

#include <charconv>

namespace benchleaf::model {

bool looks_like_date(std::string_view text) {
    if (text.size() != 10) return false;
    for (std::size_t i = 0; i < text.size(); ++i)
        if (i == 4 || i == 7 ? text[i] != '-' : text[i] < '0' || text[i] > '9') return false;
    return true;
}

std::optional<std::chrono::year_month_day> calendar_day(std::string_view text) {
    if (!looks_like_date(text)) return std::nullopt;
    int year = 0;
    unsigned month = 0;
    unsigned day = 0;
    std::from_chars(text.data(), text.data() + 4, year);
    std::from_chars(text.data() + 5, text.data() + 7, month);
    std::from_chars(text.data() + 8, text.data() + 10, day);
    const std::chrono::year_month_day made{std::chrono::year(year), std::chrono::month(month), std::chrono::day(day)};
    return made.ok() ? std::optional(made) : std::nullopt;
}

std::string print(std::chrono::year_month_day day) {
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                       static_cast<unsigned>(day.day()));
}

} // namespace benchleaf::model
