#include "syntax/reports.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::syntax {

const Check checks::tab_indent = {{"tab-indent", messages::Level::error, "a tab stands where YAML counts spaces"}};

namespace found {

void tab_indent(const Input& in, std::size_t line_start, std::size_t tab) {
    // With tabs alone in front of every line there is one way to read it: a tab is one level.
    messages::Fix fix{"write two spaces for each tab", {}};
    bool tabs_alone = true;
    for (std::size_t at = 0; at < in.text.size() && tabs_alone;) {
        const std::size_t first = std::min(in.text.find_first_not_of('\t', at), in.text.size());
        if (first < in.text.size() && in.text[first] == ' ') tabs_alone = false;
        for (std::size_t i = at; i < first; ++i) fix.edits.push_back({in.span(i, i + 1), "  "});
        const std::size_t stop = in.text.find('\n', first);
        at = stop == std::string_view::npos ? in.text.size() : stop + 1;
    }
    const bool leading = in.text.find_first_not_of(" \t", line_start) > tab;
    auto& message = in.out->add(checks::tab_indent.rule, in.span(tab, tab + 1),
                                leading ? "a tab at the start of a line" : "a tab after a dash");
    message.help = "use spaces; YAML does not say how far a tab reaches";
    if (leading && tabs_alone) message.fixes.push_back(std::move(fix));
    // How far in the line above begins, behind its dash, where this one is no entry of its own.
    if (!leading || message.fixes.size() == 1) return;
    const std::size_t first = in.text.find_first_not_of(" \t", line_start);
    const std::size_t above = line_start < 2 ? std::string_view::npos : in.text.rfind('\n', line_start - 2);
    const std::size_t begin = above == std::string_view::npos ? 0 : above + 1;
    std::size_t in_so_far = in.text.find_first_not_of(' ', begin);
    if (line_start == 0 || in_so_far >= line_start || first == std::string_view::npos || in.text[first] == '\n') return;
    const bool entry = in.text.substr(first, 2) == "- ";
    while (!entry && in.text.substr(in_so_far, 2) == "- ") in_so_far += 2;
    message.help = fmt::format("use blanks: {} of them line it up with the line above", in_so_far - begin);
}

void tab_on_blank_line(const Input& in, std::size_t begin, std::size_t end) {
    while (end > begin && in.text[end - 1] == '\r') --end;
    auto& message = in.out->add(checks::tab_indent.rule, in.span(begin, end), "a tab on an empty line");
    message.help = "leave the line empty";
    message.fixes.push_back({"leave the line empty", {{in.span(begin, end), ""}}});
}

void odd_indent(const Input& in, std::size_t at, std::size_t bytes) {
    in.out
        ->add(checks::tab_indent.rule, in.span(at, at + bytes),
              "this looks like a space and is another character at the start of a line")
        .help = "use spaces; text pasted from a web page often brings no-break spaces along";
}

} // namespace found
} // namespace benchleaf::syntax
