#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::threads_unsaid = {{"threads-unsaid", messages::Level::warning,
                                       "a torque of what gets thread-locker does not say for which threads it is"}};

void report_threads_unsaid(Messages& out, const linked::Item& item, Span torque) {
    messages::Message& message =
        out.add(checks::threads_unsaid.rule, torque,
                "the " + item.name + " gets thread-locker, and its torque does not say for which threads it is");
    message.labels.push_back({item.fastener.threadlock->span, "wants this each time"});
    message.help = "if the source's value is for threads with the locker on, write `threads: thread-locked`; else look "
                   "up the one that is";
}

} // namespace benchleaf::fitted
