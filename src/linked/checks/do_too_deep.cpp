#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::do_too_deep = {
    {"do-too-deep", messages::Level::error, "procedures within procedures, too many deep"}};

void report_do_too_deep(Messages& out, Span at, const std::string& called, std::size_t depth, std::size_t most) {
    out.add(checks::do_too_deep.rule, at,
            "`" + called + "` does others in turn, " + std::to_string(depth) + " procedures deep; " +
                std::to_string(most) + " is the most")
        .help = "let the job do them one after the other";
}

} // namespace benchleaf::linked
