#include "record/reports.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::answer_contradicts = {
    {"answer-contradicts", messages::Level::error, "an answer other than what the readings and findings say"}};

Complaint found::answer_contradicts(bool right, const std::string& why) {
    return {&checks::answer_contradicts.rule,
            fmt::format("the answer is {}: {}", right ? "yes" : "no", why),
            "look at the reading once more; what the gauge shows decides",
            false,
            {}};
}

Complaint found::nothing_says_so(const std::string& why) {
    return {&checks::answer_contradicts.rule,
            "nothing says yes: " + why,
            "read it, or answer no: what was not measured is not good",
            false,
            {}};
}

} // namespace benchleaf::record
