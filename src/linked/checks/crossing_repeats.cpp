#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::crossing_repeats = {
    {"crossing-repeats", messages::Level::error, "two repeats, one of which begins inside the other and ends outside"}};

void report_crossing_repeats(Messages& out, Span at, Span other_again, Span other_from) {
    messages::Message& message = out.add(checks::crossing_repeats.rule, at,
                                         "this repeat begins in the middle of another one", "begins inside the other");
    message.labels.push_back({other_from, "the other one begins here"});
    message.labels.push_back({other_again, "and this goes back to there"});
    message.help = "begin this one where the other begins or before it, or after the other's end";
}

} // namespace benchleaf::linked
