// Which of the shop's torque wrenches a torque is set on, and what it is set to.
//
// A wrench may be used from max(the least of its range, 20 % of its greatest) to its greatest: ±4 % holds from 20 % of
// the scale up and nothing is said below (TM 1-1500-204-23-9), and not after the day its calibration ends. The smallest
// that may be used is the right one.
#pragma once

#include "mechanics/date.h"
#include "units/quantity.h"

#include <cstddef>
#include <optional>
#include <span>
#include <variant>
#include <vector>

namespace benchleaf::mechanics {

struct Wrench {
    units::Range range;                    // torques
    units::Quantity accuracy;              // a percentage of the reading
    std::optional<units::Quantity> length; // pivot to the middle of the grip; needed only with an adapter
    std::optional<Date> calibrated_until;  // the last good day; without one it counts as not calibrated
};

// An extension that puts the socket beside the wrench's own drive (a crow's foot).
struct Adapter {
    units::Quantity length; // drive to socket; negative: it points back along the handle
    units::Quantity angle;  // to the wrench's line: 0° straight on, 90° square
};

// What the wrench is set to so that `torque` reaches the fastener: T·L / (L + E·cos α). In the torque's unit, to four
// significant figures. nullopt: a length that is no length, no lever left (L + E·cos α ≤ 0), or beyond the numbers.
std::optional<units::Quantity> set_value(const units::Quantity& torque, const units::Quantity& wrench_length,
                                         const Adapter& adapter);

enum class WhyNot : std::uint8_t {
    below_range,        // the torque is below the least of its range
    below_fifth,        // … or below 20 % of its greatest
    above_range,        // the torque is above its greatest
    out_of_calibration, // its calibration ended before the day of the job
    no_calibration,     // it has no calibration date
    no_length,          // an adapter is used and the wrench's length is not known, or leaves no lever
};

struct ChosenWrench {
    std::vector<std::size_t>
        wrench; // for each torque, an index into the shop's wrenches; all the same where one does for all
    std::vector<units::Quantity> set_to; // for each torque: itself, or `set_value` with an adapter
    // Torques (indexes) whose tolerance is narrower than the chosen wrench's accuracy: it cannot promise them.
    std::vector<std::size_t> finer_than_wrench;
};
struct NoWrench {
    std::size_t torque = 0;      // the first that no wrench holds
    std::vector<WhyNot> why_not; // for each of the shop's wrenches; empty when it has none
};

// One wrench for all torques of a fastener (its stages) where there is one, else one for each. Only the nominal value
// has to be in its range: that is what it is set to. `day`: of the job; nullopt (a blank card): calibration is not
// judged.
std::variant<ChosenWrench, NoWrench> choose_wrench(std::span<const Wrench> wrenches,
                                                   std::span<const units::Figure> torques, std::optional<Date> day,
                                                   std::optional<Adapter> adapter = std::nullopt);

} // namespace benchleaf::mechanics
