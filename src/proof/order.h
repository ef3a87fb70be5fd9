// In which order procedures can follow each other, by their contracts alone: each begins as those before it have left things, and after the last
// one all is at rest. For the help of a job whose order is wrong.
#pragma once

#include "fitted/fitted.h"

#include <cstdint>
#include <map>
#include <optional>
#include <vector>

namespace benchleaf::proof {

struct Stands {
    bool any_place = false; // no place is asked for; left: it is not known
    linked::Place place = 0;
    std::uint64_t owes = 0; // asked for: what it may owe
    auto operator<=>(const Stands&) const = default;
};

struct Boundaries {
    std::map<fitted::InstanceId, Stands> begins;
    std::map<fitted::InstanceId, Stands> ends;
    bool all_in_place = false; // what `begins` does not name is at rest, too
};

// The order that keeps closest to the given one, as indices into `all`; nothing where there is none, or too many procedures to try.
std::optional<std::vector<std::size_t>> order_of(const std::vector<Boundaries>& all);

} // namespace benchleaf::proof
