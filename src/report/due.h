// What is due in a shop: things that are to be expected at their limit before their vehicle's next service, services that have come, and vehicles that are not
// to be driven. Pure: the day is the caller's.
#pragma once

#include "history/history.h"
#include "mechanics/use.h"
#include "report/shop.h"

#include <optional>
#include <string>
#include <vector>

namespace benchleaf::report {

enum class DueState : std::uint8_t {
    not_to_be_driven, // the vehicle, by its record
    past_the_limit,   // as it was read last
    in_doubt,         // read inside the guard band
    before_service,   // at the limit, with its guard band, at the soonest before the next service
    service_due,      // the next service has come by that day
    act_now,          // looked at, and to be done at once; open since that visit, as all that follow
    advised,
    also_found,
    declined, // by the customer
    recheck,  // a torque was to be checked once the vehicle had run, and no record says that it was
};
std::string_view name(DueState state); // "before the next service"

// Why no day is told.
enum class NoDay : std::uint8_t { one_visit, not_run, other_units, no_meter, far };
std::string_view name(NoDay why); // "one visit only"

struct Due {
    DueState state = DueState::service_due;
    std::string vehicle;  // "Ostrel Haul 300"
    std::string identity; // "TX 30 418"
    std::string record;   // the last that says so
    // Of a thing; empty of the vehicle as a whole.
    std::string thing; // as printed
    std::string text;  // what was written, of what was also found, declined or to be rechecked
    std::string limit, item, at;
    std::optional<units::Quantity> read;
    std::optional<mechanics::Date> read_on;
    std::optional<units::Quantity> read_at; // the meter then
    std::optional<units::Quantity> minimum, maximum, uncertainty;
    std::optional<units::Quantity> expected, soonest; // the meter
    std::optional<units::Quantity> next_service;
    std::optional<mechanics::Date> next_service_on;
    std::optional<mechanics::Date> by; // the day by which the soonest is reached, or the service has come
    std::optional<NoDay> no_day;
    std::optional<units::Quantity> meter; // of the vehicle, estimated for the day that was asked for
};

// A record that cannot be relied on, and the vehicles that it may be of: none of them is in the list.
struct LeftOut {
    std::string file; // "records/oh3-00417/2026-0412.yaml"
    std::vector<std::string>
        vehicles; // by what `identity` begins with; empty: whatever vehicle it is of has no other record
};

// Vehicles that are not to be driven first; then what is past its limit or in doubt, then by day, the soonest first; what has no day after those that have.
struct Dues {
    mechanics::Date at;
    std::vector<Due> list;
    std::vector<Due> unknown; // vehicles of which cannot be told whether their service has come: `no_day` says why
    std::vector<LeftOut> left_out = {}; // who reads the records says so
};
Dues due(const history::History& history, const Shop& shop, mechanics::Date at);

} // namespace benchleaf::report
