#include "syntax/reports.h"

#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::colon_in_text = {{"colon-in-text", messages::Level::error, "a colon and a space inside a text"}};

namespace found {

void colon_in_text(const Input& in, source::Span colon, source::Span text, std::string_view as_map) {
    auto& message = in.out->add(checks::colon_in_text.rule, colon, "a second colon on the line of a key");
    message.labels.push_back({text, "the text that holds it"});
    message.help = as_map.empty() ? "put the text in quotes, or start a map on the next line, further in"
                                  : fmt::format("write `{}`, or put a text in quotes", as_map);
    // `{ name: brake drum system: brake }`
    const std::size_t line = in.text.rfind('\n', text.begin) + 1;
    const std::string_view said = in.text.substr(text.begin, text.end - text.begin);
    const std::size_t blank = said.rfind(' ');
    if (in.text.substr(line, text.begin - line).find('{') != std::string_view::npos &&
        blank != std::string_view::npos && said.find(',') == std::string_view::npos &&
        base::is_kebab_case(said.substr(blank + 1)))
        message.help = fmt::format("put a comma before `{}`, or the text in quotes", said.substr(blank + 1));
    // A text begins with a capital letter, and holds no word for a program.
    const std::size_t stop = std::min(in.text.find_first_of("\r\n", text.begin), in.text.size());
    const std::string_view whole = base::trimmed(in.text.substr(text.begin, stop - text.begin));
    const bool begins_large = !whole.empty() && whole.front() >= 'A' && whole.front() <= 'Z';
    if (as_map.empty() && begins_large && !in.goes_on_below(text.begin) &&
        whole.find_first_of("\"\\{}[]#") == std::string_view::npos) {
        constexpr std::size_t most_shown = 60;
        if (whole.size() <= most_shown) message.help = fmt::format("put the text in quotes: `\"{}\"`", whole);
        const auto end = static_cast<std::uint32_t>(text.begin + whole.size());
        message.fixes.push_back(
            {"put the text in quotes", {{in.span(text.begin, text.begin), "\""}, {in.span(end, end), "\""}}});
    }
    curly_quotes(in, text.begin, message);
}

} // namespace found
} // namespace benchleaf::syntax
