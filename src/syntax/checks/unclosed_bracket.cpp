#include "syntax/reports.h"

#include "base/text.h"

#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::unclosed_bracket = {{"unclosed-bracket", messages::Level::error, "a bracket is not closed"}};

namespace found {

void unclosed_bracket(const Input& in, std::size_t bracket, std::size_t end) {
    auto& message =
        in.out->add(checks::unclosed_bracket.rule, in.span(bracket, bracket + 1), "this bracket is not closed");
    const char closer = in.text[bracket] == '[' ? ']' : '}';
    message.help = fmt::format("close it with `{}`; its lines are further in than the key before it", closer);
    if (end <= bracket + 1) return;
    // All that is in it stands on its line.
    std::string_view inside = base::trimmed(in.text.substr(bracket + 1, end - bracket - 1));
    if (inside.ends_with(',')) return;
    if (closer == '}' && inside.find(':') == std::string_view::npos) { // `torque: { bolt, nut`
        const bool several = inside.find(',') != std::string_view::npos;
        message.help = fmt::format("write `{}{}{}`: only names with a colon go in `{{ }}`", several ? "[" : "", inside,
                                   several ? "]" : "");
        return;
    }
    const std::string_view blank = closer == '}' && in.text[bracket + 1] == ' ' ? " " : "";
    constexpr std::size_t most_shown = 60;
    if (inside.size() <= most_shown)
        message.help = fmt::format("write `{}{}{}{}{}`", in.text[bracket], blank, inside, blank, closer);
    message.fixes.push_back({"close it at the end of its line", {{in.span(end, end), std::string(blank) + closer}}});
}

} // namespace found
} // namespace benchleaf::syntax
