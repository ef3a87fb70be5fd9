#include "record/reports.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::off_torque = {
    {"off-torque", messages::Level::error, "a torque that was read outside what the card says"}};

Complaint found::off_torque(const std::string& read, const std::string& to, bool high) {
    return {&checks::off_torque.rule,
            fmt::format("{} is not {}", read, to),
            std::string(high ? "slacken it, look at its threads, and set it afresh" : "set it once more") +
                ", and write what the tool shows then; where that cannot be done any more, write the work as stopped "
                "before this step, and how the vehicle stands",
            false,
            {}};
}

} // namespace benchleaf::record
