// Valid shops, as mechanics of other trades than the demo's would write them: none may give a message, whatever its level. Each procedure
// begins with a comment that says for which shape of work it stands. A message here is a false alarm, and a false alarm makes a mechanic
// switch the check off.
#include "driver/pipeline.h"
#include "driver/shop_files.h"
#include "messages/render.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <iostream>

using namespace benchleaf;

TEST_CASE("valid shops give no message, and all their jobs become cards") {
    std::size_t shops = 0;
    std::size_t procedures = 0;
    std::size_t cards = 0;
    for (const auto& folder : std::filesystem::directory_iterator(BENCHLEAF_SOURCE_DIR "/tests/valid")) {
        if (!folder.is_directory()) continue;
        CAPTURE(folder.path().filename().string());
        const auto read = driver::read_shop(folder.path().string());
        REQUIRE(read.ok());
        driver::CheckOptions options;
        options.keep_cards = true;
        const auto shop = driver::check_shop(read.value().files, options);
        const auto quiet = [&](const messages::Messages& found) {
            for (const messages::Message& message : found.all()) FAIL_CHECK(message.rule->name << ": " << message.text);
        };
        quiet(shop->messages);
        for (const auto& work : shop->works) {
            quiet(work->messages);
            CHECK(!work->cards.empty());
            cards += work->cards.size();
        }
        CHECK(!shop->works.empty());
        ++shops;
        procedures += shop->model.procedures.size();
    }
    MESSAGE(shops << " shops, " << procedures << " procedures, " << cards << " cards: no message");
    CHECK(procedures >= 30);
}
