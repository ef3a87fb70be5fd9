// How much a vehicle is used: from the stands of its meter at its visits, the stand to be expected on a day, and the day on which a stand is to be
// expected. The mean between the first and the last visit, carried on; a vehicle that is laid up in winter is off by that.
#pragma once

#include "mechanics/date.h"
#include "units/quantity.h"

#include <optional>
#include <span>
#include <variant>

namespace benchleaf::mechanics {

struct Stand {
    Date on;
    units::Quantity meter;
};

struct Use {
    Stand last;
    double per_day = 0; // of the last stand's unit; above zero
};

enum class NoUse : std::uint8_t {
    too_few,     // fewer than two stands, or all of one day
    not_run,     // the meter went no further, or back
    other_units, // kilometres and hours
};

// Stands in the order of their days.
std::variant<Use, NoUse> use_of(std::span<const Stand> stands);

// In whole units of the meter, to the nearest; on the last visit's day and before it, what was read there. nullopt: beyond the numbers.
std::optional<units::Quantity> meter_on(const Use& use, Date day);

// The last day on which it is not beyond that stand; the last visit's where that was already. nullopt: another sort of unit, or more than a hundred years
// off.
std::optional<Date> day_of(const Use& use, const units::Quantity& meter);

} // namespace benchleaf::mechanics
