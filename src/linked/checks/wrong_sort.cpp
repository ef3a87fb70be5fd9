#include "linked/reports.h"

#include "linked/names.h"

namespace benchleaf::linked {

const Check checks::wrong_sort = {
    {"wrong-sort", messages::Level::error, "a name of one sort of thing where another is wanted"}};

void report_wrong_sort(Messages& out, Span at, const std::string& name, std::string_view wanted, std::string_view is,
                       Span declared) {
    messages::Message& message =
        out.add(checks::wrong_sort.rule, at,
                "`" + name + "` is " + with_article(is) + ", and " + with_article(wanted) + " is wanted here",
                "not " + with_article(wanted));
    message.labels.push_back({declared, "declared here as " + with_article(is)});
    message.help = "write the name of " + with_article(wanted) +
                   (wanted == "item" ? ": a part, a fastener, or another thing that work is done to" : "");
}

void report_wrong_sort(Messages& out, Span at, const std::string& text, Span declared, const std::string& declared_text,
                       const std::string& help) {
    messages::Message& message = out.add(checks::wrong_sort.rule, at, text);
    if (declared.known()) message.labels.push_back({declared, declared_text});
    message.help = help;
}

} // namespace benchleaf::linked
