#include "record/reports.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::no_such_time = {
    {"no-such-time", messages::Level::error, "a date or time of day that there is not"}};

Complaint found::no_time(std::string_view written) {
    return {
        &checks::no_such_time.rule, fmt::format("`{}` is no time of day", written), "for instance `14:30`", false, {}};
}

Complaint found::no_date(std::string_view written) {
    return {
        &checks::no_such_time.rule, fmt::format("`{}` is no date", written), "for instance `2026-11-25`", false, {}};
}

Complaint found::signed_before_job(std::string_view written, const std::string& job) {
    return {&checks::no_such_time.rule,
            fmt::format("{} is before the day of the job, {}", written, job),
            "look which of the two is right; the job's file says `date`",
            false,
            {}};
}

Complaint found::signed_before_stop(std::string_view written, const std::string& stopped) {
    return {&checks::no_such_time.rule,
            fmt::format("{} is before the day on which the work was stopped, {}", written, stopped),
            "look which of the two is right",
            false,
            {}};
}

Complaint found::signed_long_after(std::string_view written, const std::string& job) {
    return {&checks::no_such_time.rule,
            fmt::format("{} is more than a year after the day of the job, {}", written, job),
            "look which of the two is right; the job's file says `date`",
            false,
            {}};
}

Complaint found::no_step(std::string_view written) {
    return {&checks::no_such_time.rule,
            fmt::format("`{}` names no step", written),
            "the number of the step that comes next",
            false,
            {}};
}

} // namespace benchleaf::record
