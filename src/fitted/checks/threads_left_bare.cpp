#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::threads_left_bare = {{"threads-left-bare", messages::Level::warning,
                                          "a torque for oiled or pasted threads, on threads that get nothing"}};

void report_threads_left_bare(Messages& out, const linked::Item& item, Span cleaned, Span tightened,
                              const TorqueFigure& figure, std::string_view word, const linked::Consumable* unused) {
    messages::Message& message = out.add(
        checks::threads_left_bare.rule, cleaned.known() ? cleaned : tightened,
        cleaned.known() ? "the " + item.name + " is cleaned, and nothing is put on its threads before it is tightened"
                        : "nothing is put on the threads of the " + item.name + " before it is tightened",
        cleaned.known() ? "takes off what they slide on" : "tightened as if they had some");
    message.labels.push_back({figure.declared, "given for `threads: " + std::string(word) + "`"});
    if (unused != nullptr) message.labels.push_back({unused->declared, "no step puts this on anything"});
    message.help = (unused != nullptr ? "add `- apply: " + unused->id + "`" : "add an `apply` of it,") +
                   " with `to: " + item.id + "`" + (unused != nullptr ? ", and its `amount`," : ",") + " before " +
                   (cleaned.known() ? "the `torque`" : "it goes in");
}

} // namespace benchleaf::fitted
