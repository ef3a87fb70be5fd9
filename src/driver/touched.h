// Which cards come out otherwise in one state of a shop than in another: each procedure's blank card for each vehicle, and each job's.
#pragma once

#include "compared/compared.h"
#include "driver/pipeline.h"

#include <string>
#include <vector>

namespace benchleaf::driver {

inline constexpr std::string_view cover_sheet = "cover sheet"; // in the place of a procedure
struct TouchedCard {
    std::string procedure;
    std::string vehicle; // of a blank card
    std::string job;     // of a job's card
    std::string
        before; // the first figures of its digest, in groups, as the foot has them; empty: there was no such card
    std::string after; // empty: there is none now
};

// Of a bundle, without a shop.yaml, there are none. `compared` says which procedures, vehicles and jobs may be touched at all: the others are not made. What cannot be made in a state has no card there.
std::vector<TouchedCard> touched_cards(const Shopful& before, const Shopful& after,
                                       const compared::Comparison& compared, bool both_whole);

} // namespace benchleaf::driver
