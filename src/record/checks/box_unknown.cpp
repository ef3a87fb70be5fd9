#include "record/reports.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::box_unknown = {
    {"box-unknown", messages::Level::error, "a box that the cards of the job do not have"}};

Complaint found::unknown_box(std::string_view box, const std::vector<std::string>& known) {
    const std::vector<std::string_view> names(known.begin(), known.end());
    const std::string_view near = base::nearest(box, names);
    return {&checks::box_unknown.rule,
            fmt::format("the cards of this job have no box `{}`", box),
            near.empty() ? std::string("`benchleaf record JOB --sheet` prints all that they have")
                         : fmt::format("did you mean `{}`?", near),
            false,
            {}};
}

} // namespace benchleaf::record
