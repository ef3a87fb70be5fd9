#include "model/reports.h"

#include "base/text.h"
#include "model/date.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::bad_date = {
    {"bad-date", messages::Level::error, "a date that is not year-month-day, or not in the calendar"}};

namespace found {

void bad_date(Messages& out, Span at, std::string_view text) {
    auto& message = out.add(checks::bad_date.rule, at, fmt::format("`{}` is no date", text));
    message.help = "a date is written year-month-day, as in `2026-11-25` (ISO 8601)";
    // Day.month.year with points is written in one order only.
    const auto parts = base::split(text, '.');
    const auto digits = [](std::string_view part, std::size_t least, std::size_t most) {
        return part.size() >= least && part.size() <= most && part.find_first_not_of("0123456789") == part.npos;
    };
    if (parts.size() != 3 || !digits(parts[0], 1, 2) || !digits(parts[1], 1, 2) || !digits(parts[2], 4, 4)) return;
    const std::string better = fmt::format("{}-{:0>2}-{:0>2}", parts[2], parts[1], parts[0]);
    if (calendar_day(better)) message.fixes.push_back({fmt::format("write `{}`", better), {{at, better}}});
}

} // namespace found
} // namespace benchleaf::model
