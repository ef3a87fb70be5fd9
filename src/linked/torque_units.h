// In which sort of unit a torque is written. One that alone of all a shop's is in another sort than the others is likely a slip of the pen; so the
// check of it looks at all of them, and what is remembered of a shop has their number.
#pragma once

#include "linked/linked.h"
#include "units/tightening.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace benchleaf::linked {

enum class Written : std::uint8_t { newtons, kilograms, pounds };
constexpr std::size_t sorts_written = 3;
constexpr std::size_t fewest_others = 3; // that have to be in one sort before one in another is called alone

inline Written written_in(units::Unit unit) {
    switch (unit) {
    case units::Unit::pound_force_foot:
    case units::Unit::pound_force_inch:
    case units::Unit::ounce_force_inch:
        return Written::pounds;
    case units::Unit::kilogram_force_metre:
    case units::Unit::kilogram_force_centimetre:
        return Written::kilograms;
    default:
        return Written::newtons;
    }
}

// Of its last stage; nothing, where it has no figure.
inline std::optional<units::Quantity> last_torque(const Torque& torque) {
    if (!torque.figures.value) return std::nullopt;
    const std::vector<units::Figure> all = units::torques(torque.figures.value->value);
    if (all.empty()) return std::nullopt;
    return all.back().nominal;
}

} // namespace benchleaf::linked
