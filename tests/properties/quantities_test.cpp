// How many parts a card says to fetch.
#include "driver/pipeline.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <map>
#include <string>

using namespace benchleaf;

namespace {

// The washers that come new with so many bolts.
std::string washers(int bolts, int of_washers) {
    const driver::Files files{
        {"shop.yaml", "shop: s\nname: S\n"},
        {"catalogue/c.yaml",
         fmt::format(
             "catalogue: c\nparts: {{ washer: {{ name: washer, count: {}, reuse: never }} }}\nfasteners: {{ bolt: {{ "
             "name: bolt, secured-by: fit, count: {}, renew-with: [washer] }} }}\n",
             of_washers, bolts)},
        {"work/work.yaml",
         "procedure: work\ntitle: Work\nrevision: 1\nuses: c\nsteps:\n  - remove: bolt\n  - fit: bolt\n"},
        {"vehicles/cart.yaml", "vehicle: cart\nname: Cart\n"}};
    const auto shop = driver::link_shop(files);
    const auto work = driver::make_blank(*shop, linked::ProcedureId(0), linked::VehicleId(0), {});
    REQUIRE(work->cards.size() == 1);
    const auto& renew = work->cards.front().card.before.renew;
    REQUIRE(renew.size() == 1);
    return renew.front().text + " " + renew.front().amount;
}

} // namespace

TEST_CASE("with a bolt come as many new washers as there are, and one at least for each bolt") {
    CHECK(washers(1, 1).find("1") == std::string::npos);
    CHECK(washers(1, 2).find("2") != std::string::npos);
    CHECK(washers(2, 4).find("4") != std::string::npos); // two on each side of each union
    CHECK(washers(4, 1).find("4") != std::string::npos);
}
