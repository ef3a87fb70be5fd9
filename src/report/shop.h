// What a report takes from the shop's files as they stand now: names as they are printed, and of a limit what a record does not hold. A record's names may be
// of what the shop no longer has: then they are printed as they are.
#pragma once

#include "labels/labels.h"
#include "model/model.h"

#include <functional>
#include <optional>
#include <string>
#include <string_view>

namespace benchleaf::report {

// Of one vehicle, its own figures laid over the catalogue's.
struct LimitFacts {
    std::string name; // as printed: "lining thickness"; empty where the item's says it
    std::optional<units::Quantity> as_new;
    std::optional<units::Quantity> reads_to;
    bool wears = false; // with what the vehicle's meter counts
};

struct Shop {
    const labels::Labels* labels = nullptr; // never
    std::string name;
    std::string foot;                 // what it adds to that of every page
    units::Decimal margin = {125, 2}; // on the wear to expect where there is no line
    // "inner-pad" → "inner brake pad"; empty: the shop has no such item, or two.
    std::function<std::string(std::string_view item)> item;
    std::function<std::optional<LimitFacts>(std::string_view vehicle, std::string_view limit)> limit;
};

} // namespace benchleaf::report
