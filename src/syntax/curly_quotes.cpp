// Word processors turn straight quotes into curly ones, which are letters like any other to YAML: a comma, colon or number sign between
// them means what it means without quotes.
#include "syntax/reports.h"

#include <algorithm>
#include <array>

namespace benchleaf::syntax {

namespace {

constexpr std::array<std::string_view, 3> opening = {"\u201C", "\u2018", "\u201E"};
constexpr std::size_t bytes = 3; // of each curly quote

bool closes(std::string_view quote) {
    return quote == "\u201D" || quote == "\u2019" || quote == "\u201C";
}

} // namespace

void found::curly_quotes(const Input& in, std::size_t begin, messages::Message& message) {
    const std::string_view first = in.text.substr(begin, bytes);
    if (std::find(opening.begin(), opening.end(), first) == opening.end()) return;
    message.help = "curly quotes are letters to YAML; write straight ones, `\"…\"`";
    // The last one on the line closes it, if no other stands between.
    const std::size_t stop = std::min(in.text.find_first_of("\r\n", begin), in.text.size());
    std::size_t close = begin;
    int others = 0;
    for (std::size_t at = begin + bytes; at + bytes <= stop; ++at) {
        if (!closes(in.text.substr(at, bytes))) continue;
        close = at;
        ++others;
    }
    const std::string_view inside = in.text.substr(begin, close - begin);
    if (others != 1 || inside.find_first_of("\"\\") != std::string_view::npos) return;
    message.fixes = {
        {"write straight quotes", {{in.span(begin, begin + bytes), "\""}, {in.span(close, close + bytes), "\""}}}};
}

} // namespace benchleaf::syntax
