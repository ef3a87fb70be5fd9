#include "fitted/reports.h"

#include <cmath>
#include <fmt/format.h>

namespace benchleaf::fitted {

const Check checks::preload_absurd = {
    {"preload-absurd", messages::Level::error, "a torque that its thread cannot bear, or that hardly loads it"}};

void report_preload(Messages& out, Span at, const linked::Item& item, const TorqueFigure& figure,
                    std::string_view strength, double share, bool whatever_source) {
    const bool sourced = !figure.source.empty();
    const bool too_much = share > 0.5;
    const long percent = std::lround(share * 100);
    const std::string torque = units::print(figure.value, {.plain_spaces = true});
    messages::Message& message = out.add(
        sourced && !whatever_source ? checks::preload_unusual.rule : checks::preload_absurd.rule, figure.declared,
        too_much ? fmt::format("{} loads the {} to {} % of what its thread bears", torque, item.name, percent)
                 : fmt::format("{} loads the {} to only {} % of what its thread bears", torque, item.name, percent),
        whatever_source ? (too_much ? share > 2 ? "more than twice that: no such thread bears it"
                                                : "too much for what seals or is pierced: it tears"
                                    : "it holds nothing at that")
                        : (too_much ? "more than 90 %: it yields or tears" : "less than 20 %: it works loose"));
    if (item.fastener.property_class)
        message.labels.push_back({item.fastener.property_class->span, fmt::format("of class {}", strength)});
    message.labels.push_back(
        {item.fastener.thread->span, item.fastener.property_class
                                         ? std::string("this thread")
                                         : fmt::format("this thread, reckoned solid and of class {}", strength)});
    message.labels.push_back({at, "tightened to it here"});
    if (whatever_source && !too_much)
        message.help =
            "look it up once more; what is not tightened to clamp says so: `duty: adjust`, or whichever it is";
    else if (sourced)
        message.help = "look it up once more: value, unit, thread, class and the state of the threads";
    else
        message.help = "look it up, with unit, thread, class and the state of the threads, and say its `source`";
    // A pound foot or a kilogram metre that the same number of newton metres would make right.
    const std::vector<units::Figure> torques = units::torques(figure.value);
    if (!too_much || torques.empty() || torques.back().nominal.unit == units::Unit::newton_metre) return;
    units::Quantity meant = torques.back().nominal;
    meant.unit = units::Unit::newton_metre;
    const double times = units::value_in(torques.back().nominal, units::Unit::newton_metre) /
                         units::value_in(meant, units::Unit::newton_metre);
    const double then = share / times;
    if (then >= 0.2 && then <= 0.9)
        message.help += "; did you mean `" + units::print(meant, {.plain_spaces = true}) + "`?";
}

} // namespace benchleaf::fitted
