#include "history/history.h"

#include "model/date.h"

#include <fmt/format.h>

#include <iterator>

namespace benchleaf::history {

std::string dump(const History& history) {
    std::string to;
    const auto out = [&to] { return std::back_inserter(to); };
    for (const Vehicle& vehicle : history.vehicles) {
        to += "vehicle";
        for (const auto& each : vehicle.identity) fmt::format_to(out(), " · {} {}", each.key.name, each.value.value);
        to += '\n';
        for (const model::Record* visit : vehicle.visits)
            fmt::format_to(out(), "  {}  {}  {}\n", visit->id.value, model::print(visit->date->value),
                           visit->meter ? units::print(visit->meter->value.quantity, {.plain_spaces = true}) : "-");
        for (const Series& series : vehicle.series) {
            fmt::format_to(out(), "  {} of {} {}\n", series.limit, series.item, series.at.empty() ? "-" : series.at);
            std::size_t renewal = 0;
            const auto renewals = [&](std::size_t reading) {
                for (; renewal < series.renewals.size() && series.renewals[renewal].before <= reading; ++renewal)
                    fmt::format_to(out(), "    renewed  {}\n", series.renewals[renewal].record->id.value);
            };
            for (std::size_t i = 0; i < series.readings.size(); ++i) {
                renewals(i);
                fmt::format_to(out(), "    {}  {}\n", units::print(series.readings[i].size, {.plain_spaces = true}),
                               series.readings[i].record->id.value);
            }
            renewals(series.readings.size());
        }
    }
    return to;
}

} // namespace benchleaf::history
