#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::section_inside = {
    {"section-inside", messages::Level::error, "a section that starts inside other steps"}};

namespace found {

void section_inside(Messages& out, Span at) {
    out.add(checks::section_inside.rule, at, "a section starts inside the steps of another step").help =
        "sections stand at the top of a procedure's `steps`; end the question before it";
}

} // namespace found
} // namespace benchleaf::model
