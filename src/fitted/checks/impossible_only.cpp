#include "fitted/reports.h"

#include "base/text.h"

namespace benchleaf::fitted {

const Check checks::impossible_only = {
    {"impossible-only", messages::Level::error, "an `only` with a value or an axis that is not there"}};

void report_impossible_only(Messages& out, Span at, const std::string& value, const std::string& axis,
                            const std::vector<std::string>& values, const std::string& near) {
    std::vector<std::string> quoted;
    for (const std::string& each : values) quoted.push_back('`' + each + '`');
    messages::Message& message =
        out.add(checks::impossible_only.rule, at, "the axis `" + axis + "` has no value `" + value + "`",
                near.empty() ? "" : "did you mean `" + near + "`?");
    message.help = quoted.empty() ? "no vehicle gives it values" : "it has " + base::join_and(quoted);
    if (at.known() && at.end - at.begin == value.size()) messages::correct_slip(message, at, value, near);
}

void report_only_of_no_axis(Messages& out, Span at, const std::string& axis, const std::string& what, bool calls) {
    out.add(checks::impossible_only.rule, at, "nothing about " + what + " goes by `" + axis + "`",
            "so it narrows nothing")
        .help = calls ? "say `each: " + axis +
                            "` at the head of this procedure: then `only` takes what is called for that alone, and "
                            "sections that are "
                            "not worked side by side say `once: true`"
                      : "an item, or the procedure, says `each: " + axis + "`";
}

void report_only_of_one(Messages& out, Span at, const std::string& axis, const std::string& item) {
    out.add(checks::impossible_only.rule, at,
            "the " + item + " is there once, and this section is worked once: nothing here goes by `" + axis + "`",
            "so it narrows nothing")
        .help =
        "take the `only` out; if there is one on each " + axis + ", say `each: " + axis + "` where it is declared";
}

} // namespace benchleaf::fitted
