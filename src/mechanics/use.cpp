#include "mechanics/use.h"

#include <cmath>

namespace benchleaf::mechanics {

std::variant<Use, NoUse> use_of(std::span<const Stand> stands) {
    if (stands.size() < 2) return NoUse::too_few;
    const Stand& first = stands.front();
    const Stand& last = stands.back();
    for (std::size_t i = 0; i < stands.size(); ++i) {
        if (!units::convertible(stands[i].meter.unit, last.meter.unit)) return NoUse::other_units;
        if (i > 0 && units::compare(stands[i].meter, stands[i - 1].meter) == std::partial_ordering::less)
            return NoUse::not_run;
    }
    const int days = days_between(first.on, last.on);
    if (days <= 0) return NoUse::too_few;
    const double run = units::value_in(last.meter, last.meter.unit) - units::value_in(first.meter, last.meter.unit);
    if (!(run > 0)) return NoUse::not_run;
    return Use{last, run / days};
}

std::optional<units::Quantity> meter_on(const Use& use, Date day) {
    const int days = days_between(use.last.on, day);
    if (days <= 0) return use.last.meter;
    const double meter = std::round(units::value_in(use.last.meter, use.last.meter.unit) + use.per_day * days);
    if (!(meter < 1e15)) return std::nullopt;
    return units::Quantity{static_cast<std::int64_t>(meter), 0, false, use.last.meter.unit};
}

std::optional<Date> day_of(const Use& use, const units::Quantity& meter) {
    if (!units::convertible(meter.unit, use.last.meter.unit)) return std::nullopt;
    const double left =
        units::value_in(meter, use.last.meter.unit) - units::value_in(use.last.meter, use.last.meter.unit);
    if (left <= 0) return use.last.on;
    constexpr double farthest = 36'525; // days
    // Half a millionth of a day is what the doubles are off where it comes out whole.
    const double days = std::floor(left / use.per_day + 5e-7);
    if (!(days <= farthest)) return std::nullopt;
    return Date{std::chrono::sys_days{use.last.on} + std::chrono::days{static_cast<int>(days)}};
}

} // namespace benchleaf::mechanics
