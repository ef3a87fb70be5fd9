#include "syntax/reports.h"

#include <algorithm>

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
