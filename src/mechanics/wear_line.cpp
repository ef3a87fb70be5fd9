#include "mechanics/wear_line.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <vector>

namespace benchleaf::mechanics {

namespace {

using units::Quantity;
using units::Unit;

constexpr double sure = 0.95;     // of the bound
constexpr double farthest = 1e12; // of a meter

// Of the sums, as a part: without this a figure that falls on a mark of the gauge, or on a whole kilometre, would be pushed to the next.
constexpr double noise = 1e-11;

// As a quantity, to a billionth, rounded up.
std::optional<Quantity> size_of(double value, Unit unit) {
    constexpr std::uint8_t decimals = 9;
    const double digits = std::max(0.0, std::ceil(value * (1 - noise) * 1e9 - 1e-3));
    if (!std::isfinite(digits) || digits > 9e18) return std::nullopt;
    return Quantity{static_cast<std::int64_t>(digits), decimals, false, unit};
}

std::optional<Quantity> whole(double value, Unit unit) {
    const double floor = std::floor(value * (1 + noise));
    if (!std::isfinite(floor) || std::abs(floor) > farthest) return std::nullopt;
    return Quantity{static_cast<std::int64_t>(floor), 0, false, unit};
}

} // namespace

std::optional<Line> least_squares(std::span<const Point> points) {
    if (points.size() < fewest_for_a_line) return std::nullopt;
    const auto count = static_cast<double>(points.size());
    // About the middle, so that a meter of six digits costs none of the slope's.
    double middle_x = 0;
    double middle_y = 0;
    for (const Point& each : points) {
        middle_x += each.x / count;
        middle_y += each.y / count;
    }
    double xx = 0;
    double xy = 0;
    for (const Point& each : points) {
        xx += (each.x - middle_x) * (each.x - middle_x);
        xy += (each.x - middle_x) * (each.y - middle_y);
    }
    if (!(xx > 0)) return std::nullopt;
    Line line;
    line.points = points.size();
    line.slope = xy / xx;
    line.intercept = middle_y - line.slope * middle_x;
    double squares = 0;
    for (const Point& each : points) {
        const double off = (each.y - middle_y) - line.slope * (each.x - middle_x);
        squares += off * off;
    }
    line.deviation = std::sqrt(squares / (count - 2));
    line.slope_error = line.deviation / std::sqrt(xx);
    return line;
}

double student_t(double probability, std::size_t degrees) {
    return boost::math::quantile(boost::math::students_t(static_cast<double>(degrees)), probability);
}

std::variant<WearLine, NoLine> wear_line(const WearLimit& limit, std::span<const WearReading> readings) {
    if (readings.size() < fewest_for_a_line) return NoLine::too_few;
    WearLine wear{readings.front().meter.unit, limit.limit.unit, {}};
    std::vector<Point> points;
    for (const WearReading& each : readings) {
        if (!units::convertible(each.meter.unit, wear.meter) || !units::convertible(each.size.unit, wear.size))
            return NoLine::other_units;
        points.push_back({units::value_in(each.meter, wear.meter), units::value_in(each.size, wear.size)});
    }
    const std::optional<Line> line = least_squares(points);
    if (!line) return NoLine::one_meter;
    wear.line = *line;
    wear.rate = limit.sort == WearLimit::Sort::minimum ? -line->slope : line->slope;
    wear.rate_bound = wear.rate + student_t(sure, line->points - 2) * line->slope_error;
    return wear;
}

std::optional<Quantity> expected_size(const WearLine& line, const WearLimit& limit, const Quantity& meter) {
    const std::optional<Quantity> step = units::convert_exactly(limit.reads_to, line.size);
    if (!units::convertible(meter.unit, line.meter) || !step || step->digits <= 0) return std::nullopt;
    // What has worn away is nothing, not less.
    const double size = std::max(0.0, line.line.intercept + line.line.slope * units::value_in(meter, line.meter));
    const std::optional<Quantity> steps = whole(size / units::value_in(*step, line.size) + 0.5, line.size);
    if (!steps || std::abs(static_cast<double>(steps->digits) * static_cast<double>(step->digits)) > farthest)
        return std::nullopt;
    return Quantity{steps->digits * step->digits, step->decimals, false, line.size};
}

std::variant<Quantity, NoKeepFigure> keep_figure(const WearLimit& limit, const WearLine& line,
                                                 const Quantity& interval) {
    if (!units::convertible(interval.unit, line.meter)) return NoKeepFigure::other_units;
    const double ahead = units::value_in(interval, line.meter);
    if (ahead < 0) return NoKeepFigure::bad_interval;
    const std::optional<Quantity> wear = size_of(std::max(line.rate_bound, 0.0) * ahead, line.size);
    if (!wear) return NoKeepFigure::too_large;
    return keep_figure(limit, *wear);
}

std::variant<Reached, NoKeepFigure> limit_reached(const WearLimit& limit, const WearLine& line,
                                                  const WearReading& from) {
    // Where it is judged good at least: the guarded limit, unrounded.
    if (limit.uncertainty && !units::convertible(limit.uncertainty->unit, line.size)) return NoKeepFigure::other_units;
    if (!units::convertible(from.meter.unit, line.meter) || !units::convertible(from.size.unit, line.size))
        return NoKeepFigure::other_units;
    const bool minimum = limit.sort == WearLimit::Sort::minimum;
    const double band = limit.uncertainty ? units::value_in(*limit.uncertainty, line.size) : 0;
    const double guarded = units::value_in(limit.limit, line.size) + (minimum ? band : -band);
    const double size = units::value_in(from.size, line.size);
    const double left = std::max(minimum ? size - guarded : guarded - size, 0.0);
    const double at = units::value_in(from.meter, line.meter);
    const auto after = [&](double rate) -> std::optional<Quantity> {
        if (left > 0 && !(rate > 0)) return std::nullopt;
        return whole(left > 0 ? at + left / rate : at, line.meter);
    };
    return Reached{after(line.rate), after(line.rate_bound)};
}

} // namespace benchleaf::mechanics
