#include "record/reports.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::box_empty = {{"box-empty", messages::Level::error, "a box that has to be filled in is empty"}};

Complaint found::not_answered(const std::string& what) {
    return {&checks::box_empty.rule, "nothing is filled in: " + what, "", true, {}};
}

Complaint found::points_missing(std::size_t missing, std::size_t of) {
    return {&checks::box_empty.rule,
            fmt::format("{} of {} points are not filled in", missing, of),
            "write each of them, or the one alone that decides",
            missing == of,
            {}};
}

Complaint found::not_read_without_reason() {
    return {&checks::box_empty.rule,
            "it says not why there is no reading",
            "for instance `not read: the micrometer is at the calibration`",
            false,
            {}};
}

} // namespace benchleaf::record
