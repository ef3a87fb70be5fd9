// Will a wearing part last until the next service? The reading is not known when a card is printed, so the card prints
// the **keep figure**: the reading with which the part still reaches the next service, with the shop's margin on its
// wear and the gauge's uncertainty on the limit (guard band, ISO 14253-1).
//
// A part that wears down to a minimum:  r = (minimum + U + q·new) / (1 + q), rounded up to what the gauge shows,
// a part that wears up to a maximum:    r = (maximum − U + q·new) / (1 + q), rounded down,   q = g · interval / run.
// These solve r − g·(new − r)·(interval / run) = minimum + U and its mirror r + g·(r − new)·(interval / run) = maximum
// − U. Reckoned in exact fractions, so that a figure that falls on a mark of the gauge is not pushed to the next.
#pragma once

#include "units/quantity.h"

#include <optional>
#include <variant>

namespace benchleaf::mechanics {

struct WearLimit {
    enum class Sort : std::uint8_t { minimum, maximum };
    Sort sort = Sort::minimum;
    units::Quantity limit;
    units::Quantity reads_to;                   // the gauge's resolution, above zero
    std::optional<units::Quantity> uncertainty; // U, not below zero; none: 0
};

// What is known of the wear: a size when new (or when last renewed, or last read) and how far that is back.
struct WearKnown {
    units::Quantity as_new;
    units::Quantity run;              // since then: a distance or hours, above zero
    units::Quantity interval;         // to the next service, same dimension, not below zero
    units::Decimal margin = {125, 2}; // g, at least 1
};

enum class NoKeepFigure : std::uint8_t {
    other_units,      // the sizes, or run and interval, cannot be converted exactly into one unit
    no_run,           // run is zero or less, so no rate of wear is known
    bad_interval,     // the interval is below zero
    bad_margin,       // the margin is below 1
    bad_gauge,        // the resolution is zero or less, or the uncertainty below zero
    new_beyond_limit, // limit and guard band are not inside the size when new
    too_large,        // beyond the numbers
};

// In the limit's unit, with the decimals of `reads_to`. Lies between guard band and new, but for rounding.
std::variant<units::Quantity, NoKeepFigure> keep_figure(const WearLimit& limit, const WearKnown& known);

// The same where the wear to come until the next service is known: minimum + U + wear, rounded up; maximum − U − wear, rounded down. `wear`: a size, not
// below zero. `no_run`, `bad_margin` and `new_beyond_limit` do not happen; `bad_interval` is wear below zero.
std::variant<units::Quantity, NoKeepFigure> keep_figure(const WearLimit& limit, const units::Quantity& wear);

// The limit with its guard band, rounded as above: what a reading has to reach that does not wear with use (a disc's
// runout), and the edge of "within". `no_run`, `bad_interval`, `bad_margin` and `new_beyond_limit` do not happen.
std::variant<units::Quantity, NoKeepFigure> guarded_limit(const WearLimit& limit);

enum class Verdict : std::uint8_t {
    within,                     // reaches the next service
    within_not_to_next_service, // good today, short of the keep figure
    doubtful,                   // within ±U of the limit
    past,                       // past the limit by more than U
};

// `keep` is the keep figure, or nullopt where nothing wears with use. nullopt: units of another dimension, or sums
// beyond the numbers.
std::optional<Verdict> judge(const units::Quantity& reading, const WearLimit& limit,
                             const std::optional<units::Quantity>& keep);

} // namespace benchleaf::mechanics
