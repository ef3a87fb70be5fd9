#include "mechanics/outlook.h"

#include <algorithm>
#include <cmath>

namespace benchleaf::mechanics {

namespace {

using units::Quantity;

// What is known besides today's reading, the oldest first.
std::vector<WearReading> known_sizes(const WearPast& past) {
    std::vector<WearReading> all;
    if (past.as_new && past.new_at) all.push_back({*past.new_at, *past.as_new});
    all.insert(all.end(), past.readings.begin(), past.readings.end());
    return all;
}

// What the wear since then is reckoned from; nullptr where nothing is known from an earlier stand of the meter.
const WearReading* base(const std::vector<WearReading>& known, const Quantity& now,
                        const std::optional<Quantity>& interval) {
    constexpr double near = 0.25; // of the interval
    const WearReading* found = nullptr;
    for (std::size_t i = known.size(); i-- > 0;) {
        const double run = units::value_in(now, now.unit) - units::value_in(known[i].meter, now.unit);
        if (!(run > 0)) continue; // other units, too
        found = &known[i];
        if (!interval || run >= near * units::value_in(*interval, now.unit)) break;
    }
    return found;
}

// The wear towards the limit for each unit of the meter, between two known sizes; below zero where it seems to grow.
std::optional<double> mean_rate(const WearLimit& limit, const WearReading& from, const WearReading& to) {
    const double run = units::value_in(to.meter, to.meter.unit) - units::value_in(from.meter, to.meter.unit);
    const double grown = units::value_in(to.size, limit.limit.unit) - units::value_in(from.size, limit.limit.unit);
    if (!(run > 0) || !std::isfinite(grown)) return std::nullopt;
    return (limit.sort == WearLimit::Sort::minimum ? -grown : grown) / run;
}

// A line of a known rate through a known size, so that what is reckoned from lines serves for it.
WearLine line_through(const WearLimit& limit, const WearReading& at, double rate, double rate_bound) {
    WearLine line{at.meter.unit, limit.limit.unit, {}, rate, rate_bound};
    line.line.slope = limit.sort == WearLimit::Sort::minimum ? -rate : rate;
    line.line.intercept =
        units::value_in(at.size, line.size) - line.line.slope * units::value_in(at.meter, at.meter.unit);
    return line;
}

double number(units::Decimal decimal) {
    return static_cast<double>(decimal.digits) / std::pow(10.0, decimal.decimals);
}

} // namespace

Outlook outlook(const WearLimit& limit, const WearPast& past, const Quantity& now,
                const std::optional<Quantity>& interval, units::Decimal margin) {
    Outlook made;
    const auto line = wear_line(limit, past.readings);
    if (const auto* found = std::get_if<WearLine>(&line)) {
        made.line = *found;
        made.expected = expected_size(*found, limit, now);
        if (!interval) return made;
        const auto keep = keep_figure(limit, *found, *interval);
        if (const auto* figure = std::get_if<Quantity>(&keep)) {
            made.keep = *figure;
            made.from = KeepFrom::line;
        } else {
            made.no_keep = std::get<NoKeepFigure>(keep);
        }
        return made;
    }
    const std::vector<WearReading> known = known_sizes(past);
    if (known.size() >= 2)
        if (const auto rate = mean_rate(limit, known.front(), known.back()))
            made.expected = expected_size(line_through(limit, known.back(), std::max(*rate, 0.0), 0), limit, now);
    const WearReading* from = base(known, now, interval);
    if (from == nullptr || !interval) return made;
    const auto start = units::convert_exactly(from->meter, now.unit);
    const auto back = start ? units::multiply(*start, -1) : std::nullopt;
    const auto run = back ? units::add(now, *back) : std::nullopt;
    if (!run) return made;
    const auto keep = keep_figure(limit, WearKnown{from->size, *run, *interval, margin});
    if (const auto* figure = std::get_if<Quantity>(&keep)) {
        made.keep = *figure;
        made.known = from->size;
        made.known_at = from->meter;
        made.from = !past.readings.empty() && from >= &known[known.size() - past.readings.size()] ? KeepFrom::reading
                                                                                                  : KeepFrom::as_new;
    } else {
        made.no_keep = std::get<NoKeepFigure>(keep);
    }
    return made;
}

Reached limit_reached(const WearLimit& limit, const WearPast& past, const WearReading& read,
                      const std::optional<Quantity>& interval, units::Decimal margin) {
    std::vector<WearReading> all = past.readings;
    all.push_back(read);
    std::optional<WearLine> line;
    const auto through_all = wear_line(limit, all);
    if (const auto* found = std::get_if<WearLine>(&through_all)) {
        line = *found;
    } else {
        const std::vector<WearReading> known = known_sizes(past);
        const WearReading* from = base(known, read.meter, interval);
        const auto rate = from != nullptr ? mean_rate(limit, *from, read) : std::nullopt;
        if (rate) line = line_through(limit, read, *rate, *rate * number(margin));
    }
    if (!line) return {};
    const auto reached = limit_reached(limit, *line, read);
    const auto* found = std::get_if<Reached>(&reached);
    return found != nullptr ? *found : Reached{};
}

} // namespace benchleaf::mechanics
