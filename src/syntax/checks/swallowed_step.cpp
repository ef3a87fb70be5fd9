#include "syntax/reports.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::swallowed_step = {
    {"swallowed-step", messages::Level::error, "a step that YAML reads as more of the text above it"}};

namespace found {

void swallowed_step(const Input& in, source::Span dash, source::Span text) {
    auto& message = in.out->add(checks::swallowed_step.rule, dash,
                                "this dash starts nothing: its line is read as more of the text above");
    message.labels.push_back({text, "the text that would swallow it"});
    // `steps` alone on its line
    const std::string_view word = in.text.substr(text.begin, text.end - text.begin);
    const std::size_t line = in.text.rfind('\n', text.begin) + 1;
    const bool alone = in.text.substr(line, text.begin - line).find_first_not_of(' ') == std::string_view::npos;
    if (alone && base::is_kebab_case(word)) {
        message.help = fmt::format("write `{}:`, as the list below belongs to it", word);
        message.fixes.push_back({"put a colon behind it", {{in.span(text.end, text.end), ":"}}});
    } else {
        message.help = "line the dash up with the one above, or that one with this";
    }
}

} // namespace found
} // namespace benchleaf::syntax
