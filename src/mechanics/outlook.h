// How a wearing part stands from what is known of it: the keep figure of the next card, the reading to expect there, and once it was read, the
// stand of the meter at which its limit is to be expected.
//
// Known are the size when new with the stand of the meter at which it was that (0 of a vehicle's first part, or of a renewal), and the readings since
// then. With three readings or more their line alone counts (wear_line.h). With fewer the rule of wear.h, from the latest known size: that is the
// last reading, else the size when new. But one that is less than a quarter of the way to the next service back is too near to tell a wear from the
// last step of the gauge: then the size before it counts, and if all are so near, the first.
#pragma once

#include "mechanics/wear.h"
#include "mechanics/wear_line.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace benchleaf::mechanics {

struct WearPast {
    std::optional<units::Quantity> as_new;
    std::optional<units::Quantity> new_at; // the meter then
    std::vector<WearReading> readings;     // since then, the oldest first
};

enum class KeepFrom : std::uint8_t { nothing, as_new, reading, line };

struct Outlook {
    KeepFrom from = KeepFrom::nothing; // what the keep figure was reckoned from
    std::optional<units::Quantity> keep;
    std::optional<NoKeepFigure> no_keep;     // why there is none, though an interval and what to reckon from were given
    std::optional<units::Quantity> known;    // of as_new and reading: the size that it was reckoned from …
    std::optional<units::Quantity> known_at; // … and the stand of the meter then
    std::optional<units::Quantity> expected; // the size to be read now, not below nothing; needs two known sizes
    std::optional<WearLine> line;            // of three readings or more
};

// At `now`, for `interval` more of the meter. Without an interval there is no keep figure.
Outlook outlook(const WearLimit& limit, const WearPast& past, const units::Quantity& now,
                const std::optional<units::Quantity>& interval, units::Decimal margin);

// Where the limit with its guard band is to be expected after `read`: at the rate of the line through all readings with this one, where there are three
// or more; else at the mean rate since the size that is known and lies far enough back, by the rule above, and `soonest` at that rate times the margin.
// Nothing is expected where nothing is known but this reading, or nothing wears.
Reached limit_reached(const WearLimit& limit, const WearPast& past, const WearReading& read,
                      const std::optional<units::Quantity>& interval, units::Decimal margin);

} // namespace benchleaf::mechanics
