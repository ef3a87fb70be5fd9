#include "base/text.h"
#include "messages/render.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::messages {

namespace {

// "brakes/x.yaml:12.5-12.9": the last column is that of the last character.
std::string where(source::Span span, const source::Sources& sources) {
    if (!span.known()) return "benchleaf";
    const auto begin = sources.position(span.file, span.begin);
    const auto end = sources.position(span.file, span.end);
    std::string text = fmt::format("{}:{}.{}", sources.file(span.file).path, begin.line, begin.column);
    if (end.line == begin.line && end.column <= begin.column + 1) return text;
    if (end.line == begin.line) return text + fmt::format("-{}", end.column - 1);
    return text + fmt::format("-{}.{}", end.line, std::max<std::size_t>(end.column, 2) - 1);
}

} // namespace

std::string render_gnu(const Messages& messages, const source::Sources& sources) {
    std::string all;
    const auto line = [&all](const std::string& at, std::string_view level, const std::string& text) {
        // A line break in a text would begin another message.
        std::string said = for_screen(fmt::format("{}: {}: {}", at, level, text));
        std::replace(said.begin(), said.end(), '\n', ' ');
        all += said + "\n";
    };
    for (const Message& message : messages.all()) {
        const source::Span at = message.labels.empty() ? source::Span{} : message.labels.front().span;
        line(where(at, sources), name_of(message.rule->level),
             fmt::format("{} [{}]", message.text, message.rule->name));
        for (const Label& label : message.labels)
            if (!label.text.empty()) line(where(label.span, sources), "note", label.text);
        if (const std::string help = help_of(message); !help.empty()) line(where(at, sources), "note", help);
    }
    return all;
}

} // namespace benchleaf::messages
