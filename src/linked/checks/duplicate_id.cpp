#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::duplicate_id = {
    {"duplicate-id", messages::Level::error, "two steps of one procedure with the same id"}};

void report_duplicate_id(Messages& out, Span at, const std::string& id, Span first) {
    out.add(checks::duplicate_id.rule, at, "a second step of this procedure has the id `" + id + "`", "the second")
        .labels.push_back({first, "the first"});
}

} // namespace benchleaf::linked
