#include "syntax/reports.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::colon_in_text = {{"colon-in-text", messages::Level::error, "a colon and a space inside a text"}};

namespace found {

void colon_in_text(const Input& in, source::Span colon, source::Span text, std::string_view as_map) {
    auto& message = in.out->add(checks::colon_in_text.rule, colon, "a second colon on the line of a key");
    message.labels.push_back({text, "the text that holds it"});
    message.help = as_map.empty() ? "put the text in quotes, or start a map on the next line, further in"
                                  : fmt::format("write `{}`, or put a text in quotes", as_map);
    // `again { from: pump, until: … }`
    const std::size_t line = in.text.rfind('\n', text.begin) + 1;
    const std::string_view before = in.text.substr(line, text.begin - line);
    if (const std::size_t brace = before.find('{'); brace != std::string_view::npos && brace >= 2) {
        const std::size_t begin = before.find_last_of(" -", brace - 2) + 1;
        const std::string_view word = base::trimmed(before.substr(begin, brace - begin));
        const std::string_view said = in.text.substr(text.begin, text.end - text.begin);
        const std::size_t blank = said.rfind(' ');
        const std::string_view last = blank == std::string_view::npos ? said : said.substr(blank + 1);
        // `{ name: brake drum system: brake }`
        if (blank != std::string_view::npos && said.find(',') == std::string_view::npos && base::is_kebab_case(last))
            message.help = fmt::format("put a comma before `{}`, or the text in quotes", last);
        else if (base::is_kebab_case(word) && as_map.empty())
            message.help = fmt::format("put a colon behind `{}`", word);
    }
    curly_quotes(in, text.begin, message);
}

} // namespace found
} // namespace benchleaf::syntax
