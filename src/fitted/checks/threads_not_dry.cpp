#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::threads_not_dry = {
    {"threads-not-dry", messages::Level::error, "a torque for dry threads, on threads that get something to slide on"}};

void report_threads_not_dry(Messages& out, const linked::Item& item, Span on, const std::string& consumable,
                            const TorqueFigure& figure) {
    messages::Message& message =
        out.add(checks::threads_not_dry.rule, on,
                "the torque of the " + item.name + " is for dry threads, and they get " + consumable,
                "it slides, and the same torque stretches it further");
    message.labels.push_back({figure.declared, "given for `threads: dry`"});
    message.help =
        "leave it dry, or look up the torque for threads that are not; what goes on the shank says so in its `say`";
}

} // namespace benchleaf::fitted
