#include "syntax/reports.h"

#include "base/text.h"
#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::control_character = {
    {"control-character", messages::Level::error, "a character that cannot be seen or printed"}};

namespace found {

namespace {

// Controls, other line ends than the two usual ones, direction marks that make a text look other than it reads, and
// what is no character at all. Tabs and line ends are looked at elsewhere.
bool unprintable(char32_t c) {
    return (c < 0x20 && c != '\t' && c != '\n' && c != '\r') || (c >= 0x7F && c <= 0x9F) || c == 0x2028 ||
           c == 0x2029 || (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) || c == 0x200B || c == 0x2060 ||
           c == 0xFEFF || (c & 0xFFFEU) == 0xFFFE;
}

std::size_t first_unprintable(std::string_view text) {
    for (std::size_t at = 0; (at = base::plain_ascii_end(text, at)) < text.size();) {
        const base::CodePoint c = base::code_point_at(text, at);
        if (unprintable(c.value)) return at;
        at += c.bytes;
    }
    return std::string_view::npos;
}

std::string said(char32_t c) {
    return fmt::format("the character U+{:04X} cannot be seen or printed", static_cast<std::uint32_t>(c));
}

} // namespace

bool control_character(const Input& in) {
    const std::size_t at = first_unprintable(in.text);
    if (at == std::string_view::npos) return false;
    const base::CodePoint c = base::code_point_at(in.text, at);
    auto& message = in.out->add(checks::control_character.rule, in.span(at, at + c.bytes), said(c.value));
    message.help = "take it out; text pasted from elsewhere often brings such characters along";
    message.fixes.push_back({"take the character out", {{in.span(at, at + c.bytes), ""}}});
    return true;
}

bool control_character_in_value(const Input& in, source::Span at, std::string_view value) {
    const std::size_t where = first_unprintable(value);
    if (where == std::string_view::npos) return false;
    in.out->add(checks::control_character.rule, at, said(base::code_point_at(value, where).value)).help =
        "take its escape out of the text";
    return true;
}

} // namespace found
} // namespace benchleaf::syntax
