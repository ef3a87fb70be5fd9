#include "record/reports.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::reading_off_gauge = {
    {"reading-off-gauge", messages::Level::error, "a reading that the gauge cannot have shown"}};

Complaint found::finer_than_gauge_shows(const std::string& read, const std::string& step) {
    return {&checks::reading_off_gauge.rule,
            fmt::format("the gauge reads to {} and cannot show {}", step, read),
            "write what it shows; if it is a finer one, say so at the limit's `reads-to`",
            false,
            {}};
}

Complaint found::beyond_gauge(const std::string& read) {
    return {&checks::reading_off_gauge.rule,
            fmt::format("{} is beyond anything that this gauge shows here", read),
            "look at the point and at the unit",
            false,
            {}};
}

Complaint found::below_new(const std::string& read, const std::string& as_new) {
    return {&checks::reading_off_gauge.rule,
            fmt::format("{} is less than a new one has, {}, and this grows", read, as_new),
            "look at the point, and whether a figure is left out",
            false,
            {}};
}

Complaint found::beyond_new(const std::string& read, const std::string& as_new) {
    return {&checks::reading_off_gauge.rule,
            fmt::format("{} is more than a new one has, {}", read, as_new),
            "look at the point; if another part is in, its size when new belongs to the limit's `new`",
            false,
            {}};
}

} // namespace benchleaf::record
