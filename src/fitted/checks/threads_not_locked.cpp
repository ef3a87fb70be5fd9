#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::threads_not_locked = {
    {"threads-not-locked", messages::Level::error,
     "a torque for other threads than those with the thread-locker that they get"}};

void report_threads_not_locked(Messages& out, const linked::Item& item, Span threads, std::string_view word) {
    messages::Message& message = out.add(checks::threads_not_locked.rule, threads,
                                         "the torque of the " + item.name + " is for threads that are `" +
                                             std::string(word) + "`, and they get thread-locker",
                                         "thread-locker changes how the threads slide");
    message.labels.push_back({item.fastener.threadlock->span, "wants this each time"});
    message.help = "if the source's value is for threads with the locker on, write `threads: thread-locked`; else look "
                   "up the one that is";
}

} // namespace benchleaf::fitted
