#include "syntax/reports.h"

#include "base/text.h"

#include <algorithm>

namespace benchleaf::syntax {

const Check checks::unsettled_merge = {
    {"unsettled-merge", messages::Level::error, "the marks of a merge that git could not settle"}};

namespace found {

namespace {

// What git writes at the start of a line, seven times: where one side begins, what stood there before (if git is told to write
// that, too), where the other side begins, and where that ends. Only a blank and a name come behind it. Nothing that YAML takes
// stands so at the start of a line: a text is always further in.
char mark_of(std::string_view line) {
    constexpr std::size_t times = 7;
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (line.size() < times || (line.size() > times && line[times] != ' ')) return 0;
    const char mark = line.front();
    if (mark != '<' && mark != '|' && mark != '=' && mark != '>') return 0;
    return line.substr(0, times).find_first_not_of(mark) == std::string_view::npos ? mark : '\0';
}

std::string_view meaning(char mark) {
    return mark == '|'   ? "what stood here before both"
           : mark == '=' ? "here the other side begins"
                         : "and here it ends";
}

} // namespace

// One message a place at which both sides differ. A mark that was left behind alone is a place, too.
bool unsettled_merge(const Input& in) {
    bool spoke = false;
    messages::Message* open = nullptr; // of the place that has not ended yet; good until the next one is added
    for (std::size_t at = 0; at < in.text.size();) {
        const std::size_t stop = std::min(in.text.find('\n', at), in.text.size());
        if (const char mark = mark_of(in.text.substr(at, stop - at)); mark != 0) {
            const source::Span here = in.span(at, at + base::trimmed(in.text.substr(at, stop - at)).size());
            if (open != nullptr && mark != '<') {
                open->labels.push_back({here, std::string(meaning(mark))});
            } else {
                auto& message =
                    in.out->add(checks::unsettled_merge.rule, here, "this file holds a merge that git could not settle",
                                mark == '<' ? "here one side begins" : "a mark that was left behind");
                message.help =
                    mark == '<' ? "both sides changed these lines: look up which is right, keep that, and take out the "
                                  "lines with the marks"
                                : "see that what stands around it is right, and take out the line";
                open = mark == '<' ? &message : nullptr;
            }
            if (mark == '>') open = nullptr;
            spoke = true;
        }
        at = stop + 1;
    }
    return spoke;
}

} // namespace found
} // namespace benchleaf::syntax
