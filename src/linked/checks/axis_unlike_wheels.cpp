#include "linked/reports.h"

#include "base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace benchleaf::linked {

namespace {

void find_axes_unlike_wheels(const Linked& linked, const Check& self, Messages& out);

} // namespace

const Check checks::axis_unlike_wheels = {{"axis-unlike-wheels", messages::Level::error,
                                           "a vehicle whose axis leaves out a wheel that its map of wheels has"},
                                          find_axes_unlike_wheels};

namespace {

using AxisValues = model::Entry<model::Ref<model::Refers::free>, model::Refs<model::Refers::free>>;
using WheelNames = model::Refs<model::Refers::free>;

bool names_wheel(const WheelNames& names, const std::string& wheel) {
    return std::any_of(names.begin(), names.end(), [&](const auto& each) { return each.name == wheel; });
}

std::string joined(const WheelNames& names) {
    std::vector<std::string> all;
    for (const auto& each : names) all.push_back(each.name);
    return base::join_and(all);
}

// An axis that has the name of an axle has its wheels, and `side` those that are left and right anywhere.
bool says_less(const AxisValues& axis, const AxisValues& axle) {
    if (axis.key.name == axle.key.name)
        return axis.value.size() != axle.value.size() ||
               std::any_of(axle.value.begin(), axle.value.end(),
                           [&](const auto& wheel) { return !names_wheel(axis.value, wheel.name); });
    return axis.key.name == "side" && axle.value.size() > 1 &&
           std::any_of(axle.value.begin(), axle.value.end(), [&](const auto& wheel) {
               return (wheel.name == "left" || wheel.name == "right") && !names_wheel(axis.value, wheel.name);
           });
}

void find_axes_unlike_wheels(const Linked& linked, const Check& self, Messages& out) {
    for (const Vehicle& vehicle : linked.vehicles) {
        const model::Vehicle& is = *vehicle.source;
        if (!is.axes || !is.wheels) continue;
        for (const auto& axis : is.axes->value) {
            const auto& axles = is.wheels->value;
            const auto axle =
                std::find_if(axles.begin(), axles.end(), [&](const auto& each) { return says_less(axis, each); });
            if (axle == axles.end()) continue;
            messages::Message& message =
                out.add(self.rule, axis.key.span,
                        fmt::format("the axis `{}` has {}, and the axle `{}` has the wheels {}", axis.key.name,
                                    joined(axis.value), axle->key.name, joined(axle->value)),
                        "work by this axis would leave one out");
            message.labels.push_back({axle->key.span, "its wheels"});
            message.help = "write the same here and there; what only one wheel has is narrowed with `only`";
        }
    }
}

} // namespace
} // namespace benchleaf::linked
