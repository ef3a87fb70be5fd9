#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::text_cut_short = {
    {"text-cut-short", messages::Level::error, "what is said to whoever does the work, cut short by a number sign"}};

namespace found {

void text_cut_short(const Input& in, source::Span comment, source::Span text, bool in_brackets) {
    auto& message = in.out->add(checks::text_cut_short.rule, comment, "this is not printed: it is a comment to YAML");
    message.labels.push_back({text, "the text ends here"});
    message.help = "put the whole text in quotes; or write a space after the `#` of a comment";
    const std::string_view whole = in.text.substr(text.begin, comment.end - text.begin);
    if (in_brackets || whole.find_first_of("\"\\\r\n") != std::string_view::npos) return;
    message.fixes.push_back({"put the whole text in quotes",
                             {{in.span(text.begin, text.begin), "\""}, {in.span(comment.end, comment.end), "\""}}});
    curly_quotes(in, text.begin, message);
}

} // namespace found
} // namespace benchleaf::syntax
