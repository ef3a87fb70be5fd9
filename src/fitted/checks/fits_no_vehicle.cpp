#include "fitted/reports.h"

namespace benchleaf::fitted {

const Check checks::fits_no_vehicle = {
    {"fits-no-vehicle", messages::Level::warning, "a procedure or item that no vehicle of the shop has a use for"}};

void report_fits_no_vehicle(Messages& out, Span at, const std::string& what, bool procedure) {
    out.add(checks::fits_no_vehicle.rule, at,
            procedure ? what + " fits no vehicle of this shop, so nothing in it has been proved"
                      : "no vehicle of this shop has " + what,
            "no vehicle has this")
        .help = "a vehicle says what it has under `has`";
}

void report_fits_near_miss(Messages& out, Span at, const std::string& written, const std::string& near) {
    messages::Message& message =
        out.add(checks::fits_no_vehicle.rule, at, "no vehicle of this shop has `" + written + "`",
                "did you mean `" + near + "`?");
    message.help = "write `" + near + "`";
}

} // namespace benchleaf::fitted
