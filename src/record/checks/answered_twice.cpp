#include "record/reports.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::answered_twice = {{"answered-twice", messages::Level::error, "two answers where one is asked for"}};

Complaint found::two_answers(const std::string& what) {
    return {&checks::answered_twice.rule,
            fmt::format("two boxes are ticked for one answer: {}", what),
            "leave the one that is so",
            false,
            {}};
}

Complaint found::worst_is_another(const std::string& which, const std::string& noted, const std::string& read) {
    return {&checks::answered_twice.rule,
            fmt::format("the {} of the points is {}, and {} is written down as that", which, read, noted),
            "look which of the two was copied wrong",
            false,
            {}};
}

} // namespace benchleaf::record
