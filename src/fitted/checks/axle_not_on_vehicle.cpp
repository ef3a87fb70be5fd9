#include "fitted/reports.h"

#include "base/text.h"

namespace benchleaf::fitted {

const Check checks::axle_not_on_vehicle = {
    {"axle-not-on-vehicle", messages::Level::error, "an axle that a vehicle whose wheels are told does not have"}};

void report_axle_not_on_vehicle(Messages& out, const model::Ref<model::Refers::free>& axle,
                                const model::Vehicle& vehicle) {
    std::vector<std::string> quoted;
    std::vector<std::string_view> names;
    for (const auto& each : vehicle.wheels->value) {
        names.push_back(each.key.name);
        quoted.push_back("`" + each.key.name + "`");
    }
    const std::string near(base::nearest(axle.name, names));
    messages::Message& message =
        out.add(checks::axle_not_on_vehicle.rule, axle.span,
                "the " + (vehicle.name ? vehicle.name->value : vehicle.id.value) + " has no axle `" + axle.name + "`",
                near.empty() ? std::string() : "did you mean `" + near + "`?");
    message.labels.push_back({vehicle.wheels->span, "its axles"});
    message.help = "write one of " + base::join_and(quoted) + ", or keep the procedure from this vehicle with `fits`";
    if (!near.empty()) messages::correct_slip(message, axle.span, axle.name, near);
}

} // namespace benchleaf::fitted
