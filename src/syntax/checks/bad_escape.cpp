#include "syntax/reports.h"

#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::bad_escape = {{"bad-escape", messages::Level::error, "a backslash in double quotes means nothing"}};

namespace found {

void bad_escape(const Input& in, source::Span escape) {
    auto& message = in.out->add(
        checks::bad_escape.rule, escape,
        fmt::format("`{}` means nothing in double quotes", in.text.substr(escape.begin, escape.end - escape.begin)));
    message.help = "write `\\\\` for a backslash, or put the text in single quotes";
}

} // namespace found
} // namespace benchleaf::syntax
