#include "record/reports.h"

#include <fmt/format.h>

namespace benchleaf::record {

const Check checks::box_astray = {
    {"box-astray", messages::Level::error, "a box of a step that was not worked on the way that was answered"}};

Complaint found::box_astray(std::string_view box) {
    return {&checks::box_astray.rule,
            fmt::format("`{}` is filled in, and the answers do not lead there", box),
            "clear it, or look whether the question before it was answered as it was done",
            false,
            {}};
}

Complaint found::behind_stop(std::string_view box) {
    return {&checks::box_astray.rule,
            fmt::format("`{}` is filled in, but the work was stopped before it", box),
            "clear it, or look at which step the work was stopped",
            false,
            {}};
}

} // namespace benchleaf::record
