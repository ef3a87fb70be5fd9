#include "record/reports.h"

namespace benchleaf::record {

const Check checks::not_closed_out = {
    {"not-closed-out", messages::Level::error, "a line of the close-out without a tick"}};

Complaint found::not_closed_out(const std::string& line) {
    return {&checks::not_closed_out.rule,
            "no tick at the close-out: " + line,
            "see that it is so, and tick it; where it is not, write under “work stopped here” how the vehicle stands",
            true,
            {}};
}

} // namespace benchleaf::record
