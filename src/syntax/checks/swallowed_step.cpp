#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::swallowed_step = {
    {"swallowed-step", messages::Level::error, "a step that YAML reads as more of the text above it"}};

namespace found {

void swallowed_step(const Input& in, source::Span dash, source::Span text) {
    auto& message = in.out->add(checks::swallowed_step.rule, dash,
                                "this dash starts nothing: its line is read as more of the text above");
    message.labels.push_back({text, "the text that would swallow it"});
    message.help = "line the dash up with the one above";
}

} // namespace found
} // namespace benchleaf::syntax
