#include "record/reports.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::critical_not_ticked = {
    {"critical-not-ticked", messages::Level::error, "a critical torque without its ticks"}};

Complaint found::critical_not_ticked(const std::string& what, std::size_t ticked, std::size_t of) {
    return {&checks::critical_not_ticked.rule,
            of == 1 || ticked == 0
                ? fmt::format("no tick says that the {} was set to its torque", what)
                : fmt::format("{} of {} ticks say that the {} was set to its torque", ticked, of, what),
            "set it with the wrench, and tick each; without that the vehicle does not leave",
            ticked == 0,
            {}};
}

} // namespace benchleaf::record
