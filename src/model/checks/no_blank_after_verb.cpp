#include "model/reports.h"

#include "base/text.h"

#include <cctype>
#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::no_blank_after_verb = {
    {"no-blank-after-verb", messages::Level::error, "a verb and a colon without a blank, which is only a text"}};

namespace found {

void no_blank_after_verb(Messages& out, Span at, std::string_view text, std::size_t colon) {
    const auto after = static_cast<std::uint32_t>(at.begin + colon + 1);
    auto& message =
        out.add(checks::no_blank_after_verb.rule, {at.file, at.begin, after},
                fmt::format("`{}:` without a blank after it is a text that does nothing", text.substr(0, colon)));
    message.help = "put a blank after the colon, or the text in quotes";
    // With a blank before it, what is no letter might mean something to YAML: `*` an alias, `|` a block.
    const auto first = static_cast<unsigned char>(text[colon + 1]);
    if (!base::is_digit(text[colon + 1]) && first < 0x80 && std::isalpha(first) == 0) return;
    message.fixes.push_back({"put a blank after the colon", {{{at.file, after, after}, " "}}});
}

} // namespace found
} // namespace benchleaf::model
