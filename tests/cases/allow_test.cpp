// What a step allows is not told, whether the shop is checked or a card is printed; an error is told whatever the step says.
#include "driver/pipeline.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace benchleaf;

namespace {

driver::Files shop_with(const std::string& step) {
    return {{"shop.yaml", "shop: yard\nname: Yard\n"},
            {"vehicles/tallow-9.yaml", "vehicle: tallow-9\nname: Tallow 9\nhas: { engine: petrol }\n"},
            {"work/caps.yaml",
             fmt::format("procedure: caps\ntitle: Caps\nrevision: 1\nfits: {{ engine: petrol }}\nsteps:\n{}", step)},
            {"jobs/one.yaml", "job: one\nvehicle: tallow-9\nidentity: { frame: X1 }\nmeter: 10 km\n"
                              "date: 2026-11-25\ndo: [caps]\n"}};
}

std::vector<std::string> names(const messages::Messages& messages) {
    std::vector<std::string> all;
    for (const messages::Message& each : messages.all()) all.emplace_back(each.rule->name);
    return all;
}

using Names = std::vector<std::string>;

// Of the shop, of its job as printed, and of the blank card.
std::vector<Names> told(const std::string& step) {
    const driver::Files files = shop_with(step);
    std::vector<Names> all{names(driver::check_shop(files, {})->messages)};
    const auto shop = driver::link_shop(files);
    REQUIRE(shop->linked.jobs.size() == 1);
    const auto job = driver::make_job(*shop, linked::JobId(0), {});
    const auto blank = driver::make_blank(*shop, linked::ProcedureId(0), linked::VehicleId(0), {});
    all.push_back(names(job->messages));
    all.push_back(names(blank->messages));
    CHECK(job->cards.empty() == job->messages.any_error());
    return all;
}

} // namespace

TEST_CASE("a warning is told when a shop is checked and when a card is printed, unless its step allows it") {
    const std::string step = "  - say: Press the cap down and turn it to the stop.\n";
    CHECK(told(step) == std::vector<Names>(3, {"two-actions"}));
    CHECK(told(step + "    allow: { two-actions: They are one movement. }\n") == std::vector<Names>(3, Names{}));
    // Only of that check, and only in that step.
    CHECK(told(step + "    allow: { vague-words: They are one movement. }\n") ==
          std::vector<Names>{{"two-actions", "allows-nothing"}, {"two-actions"}, {"two-actions"}});
    CHECK(told(step + "    allow: { two-actions: They are one movement. }\n" + step) ==
          std::vector<Names>(3, {"two-actions"}));
}

TEST_CASE("an error is told whatever its step allows") {
    const auto all = told("  - say: Hold the {cap}.\n    allow: { unknown-name: It will come. }\n");
    for (const Names& each : all) CHECK(each == Names{"unknown-name", "cannot-allow"});
}
