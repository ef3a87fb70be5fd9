#include "mechanics/wrench.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace benchleaf::mechanics {
namespace {

using units::Figure;
using units::Quantity;
using units::Unit;

bool less(const Quantity& a, const Quantity& b) {
    return units::compare(a, b) == std::partial_ordering::less;
}

// 5·torque < greatest, exactly.
bool below_fifth(const Quantity& torque, const Quantity& greatest) {
    const std::optional<Quantity> five_times = units::multiply(torque, 5);
    return five_times && less(*five_times, greatest);
}

std::optional<WhyNot> why_not(const Wrench& wrench, const Quantity& set_to, std::optional<Date> day) {
    if (less(set_to, wrench.range.lower)) return WhyNot::below_range;
    if (below_fifth(set_to, wrench.range.upper)) return WhyNot::below_fifth;
    if (!units::convertible(set_to.unit, wrench.range.upper.unit) || less(wrench.range.upper, set_to))
        return WhyNot::above_range;
    if (day && !wrench.calibrated_until) return WhyNot::no_calibration;
    if (day && *wrench.calibrated_until < *day) return WhyNot::out_of_calibration;
    return std::nullopt;
}

std::optional<Quantity> set_on(const Wrench& wrench, const Quantity& torque, const std::optional<Adapter>& adapter) {
    if (!adapter) return torque;
    if (!wrench.length) return std::nullopt;
    return set_value(torque, *wrench.length, *adapter);
}

std::optional<WhyNot> why_not(const Wrench& wrench, const Figure& torque, std::optional<Date> day,
                              const std::optional<Adapter>& adapter) {
    const std::optional<Quantity> set_to = set_on(wrench, torque.nominal, adapter);
    if (!set_to) return WhyNot::no_length;
    return why_not(wrench, *set_to, day);
}

// ± accuracy % of the nominal reaches beyond a limit. As doubles: this is a note, no verdict hangs on its last digit.
bool finer(const Figure& torque, const Wrench& wrench) {
    if (torque.form == Figure::Form::plain) return false;
    const double nominal = units::value_in(torque.nominal, Unit::newton_metre);
    const double room = std::min(nominal - units::value_in(torque.lower, Unit::newton_metre),
                                 units::value_in(torque.upper, Unit::newton_metre) - nominal);
    // No room at all is too little for any.
    return room <= 0 || nominal * units::value_in(wrench.accuracy, Unit::percent) / 100 > room * (1 + 1e-9);
}

} // namespace

std::optional<Quantity> set_value(const Quantity& torque, const Quantity& wrench_length, const Adapter& adapter) {
    const double lever = units::value_in(wrench_length, Unit::millimetre);
    const double extension = units::value_in(adapter.length, Unit::millimetre);
    const double angle = units::value_in(adapter.angle, Unit::degree) * std::numbers::pi / 180;
    const double whole = lever + extension * std::cos(angle);
    if (!(lever > 0) || !(whole > 0) || torque.digits <= 0) return std::nullopt; // NaN is caught here too
    const double value = units::value_in(torque, torque.unit) * lever / whole;
    if (!(value > 1e-6) || !(value < 1e6)) return std::nullopt;
    // Nine decimals of it as an exact number; `convert` rounds that to figures.
    const Quantity fine{std::llround(value * 1e9), 9, false, torque.unit};
    return units::convert(fine, torque.unit, units::Significant{4});
}

std::variant<ChosenWrench, NoWrench> choose_wrench(std::span<const Wrench> wrenches, std::span<const Figure> torques,
                                                   std::optional<Date> day, std::optional<Adapter> adapter) {
    // The smallest first; the order of the shop's file between equals.
    std::vector<std::size_t> by_size(wrenches.size());
    for (std::size_t i = 0; i < by_size.size(); ++i) by_size[i] = i;
    std::stable_sort(by_size.begin(), by_size.end(), [&](std::size_t a, std::size_t b) {
        return less(wrenches[a].range.upper, wrenches[b].range.upper);
    });
    const auto holds = [&](std::size_t wrench, const Figure& torque) {
        return !why_not(wrenches[wrench], torque, day, adapter);
    };

    ChosenWrench chosen;
    const auto for_all = std::find_if(by_size.begin(), by_size.end(), [&](std::size_t wrench) {
        return std::all_of(torques.begin(), torques.end(), [&](const Figure& torque) { return holds(wrench, torque); });
    });
    for (std::size_t i = 0; i < torques.size(); ++i) {
        const auto found =
            for_all != by_size.end() ? for_all : std::find_if(by_size.begin(), by_size.end(), [&](std::size_t wrench) {
                return holds(wrench, torques[i]);
            });
        if (found == by_size.end()) {
            NoWrench none{i, {}};
            for (const Wrench& wrench : wrenches) none.why_not.push_back(*why_not(wrench, torques[i], day, adapter));
            return none;
        }
        chosen.wrench.push_back(*found);
        chosen.set_to.push_back(*set_on(wrenches[*found], torques[i].nominal, adapter));
        if (finer(torques[i], wrenches[*found])) chosen.finer_than_wrench.push_back(i);
    }
    return chosen;
}

} // namespace benchleaf::mechanics
