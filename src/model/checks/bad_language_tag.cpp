#include "model/reports.h"

#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::bad_language_tag = {
    {"bad-language-tag", messages::Level::error, "a language that is not written as a language tag"}};

namespace found {

void bad_language_tag(Messages& out, Span at, std::string_view text) {
    out.add(checks::bad_language_tag.rule, at, fmt::format("`{}` is no language tag", text)).help =
        "write the language in two or three letters, with its region where that matters: `en`, `pt-BR` (BCP 47)";
}

} // namespace found
} // namespace benchleaf::model
