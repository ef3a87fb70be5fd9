#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::threads_left_bare = {
    {"threads-left-bare", messages::Level::warning,
     "a torque for oiled or pasted threads, on threads that were cleaned and get nothing"}};

void report_threads_left_bare(Messages& out, const linked::Item& item, Span cleaned, const TorqueFigure& figure,
                              std::string_view word) {
    messages::Message& message =
        out.add(checks::threads_left_bare.rule, cleaned,
                "the " + item.name + " is cleaned, and nothing is put on its threads before it is tightened",
                "takes off what they slide on");
    message.labels.push_back({figure.declared, "given for `threads: " + std::string(word) + "`"});
    message.help = "add an `apply` of it, with `to: " + item.id + "`, before the `torque`";
}

} // namespace benchleaf::fitted
