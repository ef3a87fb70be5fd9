#include "syntax/reports.h"

namespace benchleaf::syntax {

const Check checks::comment_in_text = {
    {"comment-in-text", messages::Level::warning, "a text cut short by a number sign"}};

namespace found {

void comment_in_text(const Input& in, source::Span comment, source::Span text) {
    auto& message = in.out->add(checks::comment_in_text.rule, comment, "this is a comment and not part of the text");
    message.labels.push_back({text, "the text ends here"});
    message.help = "put the text in quotes, or write a space after the `#` of a comment";
}

} // namespace found
} // namespace benchleaf::syntax
