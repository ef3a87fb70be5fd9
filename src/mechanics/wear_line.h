// The wear of one part as a straight line over the service meter, through the readings since it was last renewed: for the keep figure of the
// next card, and for when the limit is to be expected.
//
// Least squares, y = intercept + slope·x. The wear to expect takes not the slope but its upper bound, one-sided, 95 %:
// rate + t(0.95, n − 2)·s(slope), with s(slope) = s / √Σ(x − x̄)² and s² = Σ(y − ŷ)² / (n − 2) (any textbook of statistics; checked against NIST StRD
// "Norris"). Today's reading stays out of the line by which it is judged: with it in, a thicker pad can look worse.
#pragma once

#include "mechanics/wear.h"

#include <cstddef>
#include <optional>
#include <span>
#include <variant>

namespace benchleaf::mechanics {

struct Point {
    double x = 0;
    double y = 0;
};

struct Line {
    double slope = 0;
    double intercept = 0;
    double deviation = 0;   // s, residual standard deviation, in the unit of y
    double slope_error = 0; // standard error of the slope
    std::size_t points = 0;
};

inline constexpr std::size_t fewest_for_a_line = 3;

// nullopt: fewer than `fewest_for_a_line` points, or all at one x.
std::optional<Line> least_squares(std::span<const Point> points);

// The value that Student's t with so many degrees of freedom stays below with that probability: t(0.95, 10) = 1.812. Probability above 0 and below 1,
// degrees at least 1.
double student_t(double probability, std::size_t degrees);

struct WearReading {
    units::Quantity meter; // the service meter when it was taken: km, mi or hours
    units::Quantity size;
};

struct WearLine {
    units::Unit meter; // of x
    units::Unit size;  // of y, the limit's
    Line line;
    double rate = 0;       // wear towards the limit for each unit of the meter; below zero where it seems to grow
    double rate_bound = 0; // its upper bound
};

enum class NoLine : std::uint8_t {
    too_few,     // fewer than `fewest_for_a_line` readings
    one_meter,   // all taken at one stand of the meter
    other_units, // sizes, or meters, of another sort than the first, or than the limit
};

// Readings in any order.
std::variant<WearLine, NoLine> wear_line(const WearLimit& limit, std::span<const WearReading> readings);

// What the line says of the size at that stand of the meter, to the nearest step of the gauge; nullopt: another sort of unit, or beyond the numbers.
std::optional<units::Quantity> expected_size(const WearLine& line, const WearLimit& limit,
                                             const units::Quantity& meter);

// minimum + U + wear over the interval at the bounding rate, rounded up; of a maximum the mirror. A rate below zero counts as none. `no_run`, `bad_margin` and
// `new_beyond_limit` do not happen.
std::variant<units::Quantity, NoKeepFigure> keep_figure(const WearLimit& limit, const WearLine& line,
                                                        const units::Quantity& interval);

// Where the limit with its guard band is reached, from a reading on: at the line's rate, and at its bound, which is sooner. In whole units of the meter, rounded
// down; nullopt where it never is (no wear), or farther than the numbers go. A reading past it: its own meter.
struct Reached {
    std::optional<units::Quantity> expected;
    std::optional<units::Quantity> soonest;
};
std::variant<Reached, NoKeepFigure> limit_reached(const WearLimit& limit, const WearLine& line,
                                                  const WearReading& from);

} // namespace benchleaf::mechanics
