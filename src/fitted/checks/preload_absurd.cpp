#include "fitted/reports.h"

#include <cmath>
#include <fmt/format.h>

namespace benchleaf::fitted {

const Check checks::preload_absurd = {{"preload-absurd", messages::Level::error,
                                       "a torque without a source that overloads its thread, or hardly loads it"}};

void report_preload(Messages& out, Span at, const linked::Item& item, const TorqueFigure& figure, double share) {
    const bool sourced = !figure.source.empty();
    const long percent = std::lround(share * 100);
    const std::string torque = units::print(figure.value, {.plain_spaces = true});
    messages::Message& message = out.add(
        sourced ? checks::preload_unusual.rule : checks::preload_absurd.rule, figure.declared,
        share > 0.5 ? fmt::format("{} loads the {} to {} % of what its thread bears", torque, item.name, percent)
                    : fmt::format("{} loads the {} to only {} % of what its thread bears", torque, item.name, percent),
        share > 0.5 ? "more than 90 %: it yields or tears" : "less than 20 %: it works loose");
    message.labels.push_back(
        {item.fastener.property_class->span, fmt::format("of class {}", item.fastener.property_class->value)});
    message.labels.push_back({item.fastener.thread->span, "this thread"});
    message.labels.push_back({at, "tightened to it here"});
    message.help = sourced ? "look it up once more: value, unit, thread, class and the state of the threads"
                           : "look it up, with unit, thread, class and the state of the threads, and say its `source`";
}

} // namespace benchleaf::fitted
