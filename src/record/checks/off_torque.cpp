#include "record/reports.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::off_torque = {
    {"off-torque", messages::Level::error, "a torque that was read outside what the card says"}};

Complaint found::off_torque(const std::string& read, const std::string& to) {
    return {&checks::off_torque.rule,
            fmt::format("{} is not {}", read, to),
            "set it once more, and write what the tool shows then",
            false,
            {}};
}

} // namespace benchleaf::record
