#include "mechanics/date.h"

namespace benchleaf::mechanics {

std::optional<Date> parse_date(std::string_view text) {
    if (text.size() != 10 || text[4] != '-' || text[7] != '-') return std::nullopt;
    const auto number = [&](std::size_t at, std::size_t length) {
        int value = 0;
        for (const char digit : text.substr(at, length)) {
            if (digit < '0' || digit > '9') return -1;
            value = value * 10 + (digit - '0');
        }
        return value;
    };
    const int year = number(0, 4);
    const int month = number(5, 2);
    const int day = number(8, 2);
    if (year < 1900 || month < 1 || day < 1) return std::nullopt;
    const Date date{std::chrono::year{year}, std::chrono::month{static_cast<unsigned>(month)},
                    std::chrono::day{static_cast<unsigned>(day)}};
    return date.ok() ? std::optional(date) : std::nullopt;
}

std::string print(Date date) {
    const auto padded = [](unsigned value, std::size_t width) {
        std::string text = std::to_string(value);
        if (text.size() < width) text.insert(0, width - text.size(), '0');
        return text;
    };
    return padded(static_cast<unsigned>(static_cast<int>(date.year())), 4) + "-" +
           padded(static_cast<unsigned>(date.month()), 2) + "-" + padded(static_cast<unsigned>(date.day()), 2);
}

int days_between(Date from, Date to) {
    return static_cast<int>((std::chrono::sys_days{to} - std::chrono::sys_days{from}).count());
}

} // namespace benchleaf::mechanics
