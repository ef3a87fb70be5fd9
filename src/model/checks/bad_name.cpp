#include "model/reports.h"

#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::model {

const Check checks::bad_name = {
    {"bad-name", messages::Level::error, "a name that is not in small letters, digits and single hyphens"}};

namespace found {

messages::Message& bad_name(Messages& out, Span at, std::string_view text) {
    auto& message = out.add(checks::bad_name.rule, at, fmt::format("`{}` cannot be a name", text));
    message.help = "a name is made of small letters, digits and single hyphens: `front-wheel-nut`";
    // Curly quotes, which YAML takes for letters.
    if (text.starts_with("\u201C") || text.starts_with("\u2018") || text.starts_with("\u201D") ||
        text.starts_with("\u201E")) {
        message.help = "curly quotes are letters to YAML; a name has no quotes, or straight ones";
        const std::string inner(text.size() > 6 ? text.substr(3, text.size() - 6) : std::string_view());
        if (base::is_kebab_case(inner)) message.fixes.push_back({fmt::format("write `{}`", inner), {{at, inner}}});
        return message;
    }
    std::string better;
    for (const char c : text) {
        const bool letter = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '/';
        if (letter)
            better += c;
        else if (c >= 'A' && c <= 'Z')
            better += static_cast<char>(c - 'A' + 'a');
        else if (c != ' ' && c != '_' && c != '-')
            return message; // no letter that a name could keep
        else if (!better.empty() && better.back() != '-')
            better += '-';
    }
    while (!better.empty() && better.back() == '-') better.pop_back();
    if (base::is_kebab_case(better)) message.fixes.push_back({fmt::format("write `{}`", better), {{at, better}}});
    return message;
}

void comma_missing(Messages& out, Span at, std::string_view text, bool over_lines) {
    std::string names;
    std::string name(text);
    for (const std::string_view part : base::split(text, ' '))
        names += fmt::format("{}{}", names.empty() ? "" : ", ", part);
    std::replace(name.begin(), name.end(), ' ', '-');
    out.add(checks::bad_name.rule, at, fmt::format("`{}` cannot be a name", text)).help =
        over_lines ? fmt::format("write a dash before each name if these are several, or `{}` if it is one", name)
                   : fmt::format("write `[{}]` if these are several, or `{}` if it is one", names, name);
}

void brackets_missing(Messages& out, Span at, std::string_view text, const std::vector<std::string_view>& names) {
    auto& message = out.add(checks::bad_name.rule, at, fmt::format("`{}` cannot be a name", text));
    const std::string list = fmt::format("[{}]", fmt::join(names, ", "));
    message.help = fmt::format("write `{}`", list);
    message.fixes.push_back({"put them in brackets", {{at, list}}});
}

} // namespace found
} // namespace benchleaf::model
