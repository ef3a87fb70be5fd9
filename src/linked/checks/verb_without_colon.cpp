#include "linked/reports.h"

#include <fmt/format.h>

namespace benchleaf::linked {

const Check checks::verb_without_colon = {
    {"verb-without-colon", messages::Level::error, "the word that says what a step is, without a colon: only a text"}};

void report_verb_without_colon(Messages& out, Span at, std::string_view word, const std::string& meant, bool sure) {
    messages::Message& message =
        out.add(checks::verb_without_colon.rule, at,
                fmt::format("`{}` without a colon behind it is a text that does nothing", word));
    message.help = fmt::format("write `{}`, or {}", meant,
                               sure ? "put the text in quotes" : "begin the text with a capital letter if it is one");
    if (sure) message.fixes.push_back({fmt::format("write `{}`", meant), {{at, meant}}});
}

} // namespace benchleaf::linked
