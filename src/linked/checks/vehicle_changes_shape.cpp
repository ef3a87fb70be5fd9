#include "linked/reports.h"

namespace benchleaf::linked {

const Check checks::vehicle_changes_shape = {
    {"vehicle-changes-shape", messages::Level::error, "a vehicle changes which places an item has"}};

void report_vehicle_changes_shape(Messages& out, Span at, const std::string& key, const std::string& item,
                                  Span declared) {
    messages::Message& message =
        out.add(checks::vehicle_changes_shape.rule, at, "a vehicle cannot change `" + key + "` of `" + item + "`",
                "every procedure counts on the places that it has");
    message.labels.push_back({declared, "declared here for all vehicles"});
    message.help = "declare a second item with `only-on` for this vehicle";
}

} // namespace benchleaf::linked
