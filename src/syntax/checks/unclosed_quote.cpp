#include "syntax/reports.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::unclosed_quote = {{"unclosed-quote", messages::Level::error, "a quote is not closed on its line"}};

namespace found {

void unclosed_quote(const Input& in, std::size_t quote, bool in_brackets) {
    auto& message =
        in.out->add(checks::unclosed_quote.rule, in.span(quote, quote + 1), "this quote is not closed on its line");
    message.help = "close it, or use | or > for a long text";
    // Up to the end of the line, or to the brackets that close there.
    const char mark = in.text[quote];
    const std::size_t stop = std::min(in.text.find_first_of("\r\n", quote), in.text.size());
    std::string_view said = in.text.substr(quote + 1, stop - quote - 1);
    if (said.find(" #") != std::string_view::npos || said.find('\\') != std::string_view::npos) return;
    while (!said.empty() && (said.back() == ' ' || (in_brackets && (said.back() == '}' || said.back() == ']'))))
        said.remove_suffix(1);
    // With a comma, or another quote, where it ends is not known; and without a bracket it may be meant to go on below.
    const bool known = !said.empty() && said.find(mark) == std::string_view::npos &&
                       (in_brackets ? said.find(',') == std::string_view::npos && quote + 1 + said.size() < stop
                                    : std::string_view(".!?").find(said.back()) != std::string_view::npos);
    if (!known || in.goes_on_below(quote)) return;
    const std::size_t end = quote + 1 + said.size();
    constexpr std::size_t most_shown = 60;
    if (said.size() <= most_shown) message.help = fmt::format("write `{}{}{}`", mark, said, mark);
    message.fixes.push_back({"close it", {{in.span(end, end), std::string(1, mark)}}});
}

} // namespace found
} // namespace benchleaf::syntax
