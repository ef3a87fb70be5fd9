// In a shop of many vehicles each procedure is proved only on those that differ in what it looks at (driver/prove_shop.h). Held against proving
// each on every one: over the demo shop with copies of its vehicles whose figures, features and items differ, and with lines lost anywhere,
// the very same messages are told.
//
// BENCHLEAF_SHOPS is how many such shops (CI: 24).
#include "driver/pipeline.h"
#include "gates/program.h"
#include "messages/render.h"
#include "properties/many_vehicles.h"

#include <doctest/doctest.h>

using namespace benchleaf;
using namespace benchleaf::properties;

namespace {

std::string told(const driver::Files& files, driver::Vehicles vehicles) {
    const auto shop = driver::check_shop(files, {.vehicles = vehicles});
    return messages::render_human(shop->messages, shop->sources, {});
}

} // namespace

TEST_CASE("what is told is the same whether each vehicle is looked at or those that are alike once") {
    const auto read = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    REQUIRE(read);
    const char* given = std::getenv("BENCHLEAF_SHOPS");
    const std::size_t many = given != nullptr           ? std::stoul(given)
                             : BENCHLEAF_TIME_SLACK > 5 ? 5
                                                        : 24; // the release build looks at all
    Random random(20261127);                                  // NOLINT(cert-msc51-cpp): the same run each time
    std::size_t clean = 0;
    for (std::size_t i = 0; i < many; ++i) {
        driver::Files files = with_copies(read.value().files, i % 4 != 0, random);
        files.shelf = read.value().files.shelf;
        if (i % 8 != 0) lose_lines(files, random);
        const std::string alike = told(files, driver::Vehicles::alike);
        CAPTURE(i);
        CHECK(alike == told(files, driver::Vehicles::each));
        if (alike.empty()) ++clean;
    }
    MESSAGE(many, " shops, ", clean, " without a message");
    CHECK(clean > 0);
    CHECK(clean < many);
}
