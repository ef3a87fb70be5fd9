#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::step_does_nothing = {
    {"step-does-nothing", messages::Level::error, "a step that says nothing to do"}};

namespace found {

void step_does_nothing(Messages& out, Span at) {
    out.add(checks::step_does_nothing.rule, at, "this step says nothing to do").help =
        "give it a verb (`remove: front-wheel`), or a text (`say: Park on flat ground.`)";
}

} // namespace found
} // namespace benchleaf::model
