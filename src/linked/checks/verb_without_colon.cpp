#include "linked/reports.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::linked {

const Check checks::verb_without_colon = {
    {"verb-without-colon", messages::Level::error, "a verb and names without a colon, which are only a text"}};

void report_verb_without_colon(Messages& out, Span at, std::string_view verb, const std::vector<std::string>& names) {
    std::string meant = fmt::format("{}: {}", verb, names.front());
    if (names.size() > 1) meant = fmt::format("{}: [{}]", verb, fmt::join(names, ", "));
    messages::Message& message =
        out.add(checks::verb_without_colon.rule, at,
                fmt::format("`{}` without a colon behind it is a text that does nothing", verb));
    message.help = fmt::format("write `{}`, or put the text in quotes", meant);
    message.fixes.push_back({fmt::format("write `{}`", meant), {{at, meant}}});
}

} // namespace benchleaf::linked
