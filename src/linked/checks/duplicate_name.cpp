#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::duplicate_name = {{"duplicate-name", messages::Level::error, "one name given to two things"}};

void report_duplicate_name(Messages& out, Span at, const std::string& name, const std::string& what, Span first) {
    out.add(checks::duplicate_name.rule, at, "a second " + what + " is called `" + name + "`", "the second")
        .labels.push_back({first, "the first"});
}

} // namespace benchleaf::linked
