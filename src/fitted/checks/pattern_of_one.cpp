#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::pattern_of_one = {
    {"pattern-of-one", messages::Level::error, "a pattern or rounds of tightening that the card cannot print"}};

void report_pattern_of_one(Messages& out, const linked::Item& item) {
    const model::Fastener& is = item.fastener;
    messages::Message& message = out.add(checks::pattern_of_one.rule, is.pattern ? is.pattern->span : is.passes->span,
                                         "the " + item.name + " is one alone, and is no group to tighten in turn",
                                         is.pattern ? "a pattern of one" : "rounds of one");
    if (is.count)
        message.labels.push_back({is.count->span, "there is one"});
    else
        message.labels.push_back({item.declared, "there is one where `count` does not say otherwise"});
    message.help =
        "write `count:` with how many there are of it, or take this out; one bolt alone is brought up in stages, "
        "as in `value: [10 N·m, 25 N·m]`";
}

void report_rounds_without_pattern(Messages& out, const linked::Item& item) {
    messages::Message& message =
        out.add(checks::pattern_of_one.rule, item.fastener.passes->span,
                "the rounds of the " + item.name + " are printed with its pattern, and it has none", "not printed");
    message.labels.push_back({item.declared, "without `pattern: star`"});
    message.help = "add `pattern: star`, or take this out";
}

} // namespace benchleaf::fitted
