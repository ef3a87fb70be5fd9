// When a thing that wears is to be expected at its limit: the figures of a vehicle's report and of what is due. Reckoned by mechanics/outlook.h, as the card
// and the record are, from the readings since it was last renewed.
#pragma once

#include "history/history.h"
#include "mechanics/outlook.h"
#include "mechanics/use.h"
#include "report/shop.h"

#include <optional>
#include <string>
#include <variant>

namespace benchleaf::report {

enum class NoForecast : std::uint8_t {
    does_not_wear, // or is held between two limits: it is read for itself
    renewed_since, // after its last reading
    no_meter,      // not written down when it was read last
    meter_back,    // between two readings
    one_size,      // nothing is known but one reading
    no_wear,       // from what is known it never gets there
    other_units,
};

struct Forecast {
    const history::Taken* last = nullptr;      // since it was renewed
    std::optional<mechanics::WearLimit> limit; // by which the last reading was held
    mechanics::WearPast past;                  // what is known besides the last reading
    std::optional<mechanics::WearLine> line;   // through all readings since it was renewed, three or more
    mechanics::Reached reached;                // the limit with its guard band, from the last reading on
    std::optional<NoForecast> none;            // why nothing is expected
};
Forecast forecast(const Shop& shop, const history::Series& series);

// From the stands at its visits.
std::variant<mechanics::Use, mechanics::NoUse> use_of(const history::Vehicle& vehicle);

// The limit with its guard band, as a number of the limit's unit.
double guarded(const mechanics::WearLimit& limit);

// "inner brake pad – lining thickness"
std::string printed_name(const Shop& shop, std::string_view vehicle, std::string_view limit, std::string_view item);

// The record after which the vehicle is not to be driven; nullptr: none. It stands until a later one that is finished has the procedure again that it
// stopped on.
const model::Record* not_to_be_driven(const history::Vehicle& vehicle);

} // namespace benchleaf::report
