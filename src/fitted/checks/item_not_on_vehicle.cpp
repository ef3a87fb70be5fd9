#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::item_not_on_vehicle = {
    {"item-not-on-vehicle", messages::Level::error, "a step touches something that the vehicle does not have"}};

void report_item_not_on_vehicle(Messages& out, Span at, const std::string& item, const OfVehicle& vehicle,
                                const Failing& failing) {
    messages::Message& message =
        out.add(checks::item_not_on_vehicle.rule, at, vehicle.name + " has no " + item, "not on this vehicle");
    message.labels.push_back({failing.condition, "only on vehicles with " + failing.wanted});
    if (failing.has.known()) message.labels.push_back({failing.has, "this one has " + failing.has_value});
    message.help = "give the step `when: { " + failing.wanted + " }`, or narrow the procedure's `fits`";
}

void report_item_without_axis(Messages& out, Span at, const std::string& item, const OfVehicle& vehicle,
                              const std::string& axis, Span declared) {
    messages::Message& message = out.add(checks::item_not_on_vehicle.rule, at, vehicle.name + " has no " + item,
                                         "it has no axis `" + axis + "`");
    message.labels.push_back({declared, "there is one for each " + axis});
    if (vehicle.id.known()) message.labels.push_back({vehicle.id, "this vehicle declares no values for it"});
    message.help = vehicle.file.empty() ? "" : "add `axes: { " + axis + ": […] }` in " + vehicle.file;
}

void report_item_narrowed_away(Messages& out, Span at, const std::string& item, const OfVehicle& vehicle,
                               Span narrowed) {
    out.add(checks::item_not_on_vehicle.rule, at, vehicle.name + " has no " + item + " there",
            "not on this side of this vehicle")
        .labels.push_back({narrowed, "narrowed here"});
}

} // namespace benchleaf::fitted
