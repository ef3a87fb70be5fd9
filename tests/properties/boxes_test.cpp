// The boxes that a record is taken from are those that stand on the cards: each that somebody can write in is known, and none is asked for that no card has.
#include "driver/pipeline.h"
#include "pages/field_words.h"
#include "record/asks.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <functional>
#include <iterator>
#include <set>

using namespace benchleaf;

namespace {

std::set<std::string> on_paper(const driver::Work& work) {
    std::set<std::string> names;
    std::string prefix;
    const std::function<void(const pages::Box&)> walk = [&](const pages::Box& box) {
        if (pages::is_written_in(box.role)) names.insert(prefix + box.name);
        for (const pages::Box& child : box.children) walk(child);
    };
    for (std::size_t i = 0; i < work.cards.size(); ++i) {
        if (work.cards.size() > 1) prefix = fmt::format("card-{}/", i + 1);
        for (const pages::Page& page : work.cards[i].pages.pages)
            for (const pages::Box& box : page.boxes) walk(box);
    }
    return names;
}

} // namespace

TEST_CASE("every box of the cards is asked for on some way, and no other") {
    std::size_t looked_at = 0;
    for (const auto& shop_folder : std::filesystem::directory_iterator(BENCHLEAF_SOURCE_DIR "/tests/valid")) {
        if (!shop_folder.is_directory()) continue;
        const auto read = driver::read_shop(shop_folder.path().string());
        REQUIRE(read);
        driver::CheckOptions options;
        options.keep_cards = true;
        const auto shop = driver::check_shop(read.value().files, options);
        for (const auto& work : shop->works) {
            CAPTURE(work->name);
            REQUIRE(!work->cards.empty());
            const record::Sheet sheet = driver::sheet_of(*shop, *work);
            const std::set<std::string> paper = on_paper(*work);
            const std::vector<std::string> known = record::all_boxes(sheet);
            for (const std::string& box : paper) {
                CAPTURE(box);
                CHECK(std::binary_search(known.begin(), known.end(), box));
            }
            for (const std::string& box : known) {
                // A last no has no box; how many lines there are for findings, and how many rounds a step has boxes for that would be taller than
                // its page, is the page's affair.
                const auto has = [&box](std::string_view part) { return box.find(part) != std::string::npos; };
                if (has("/over/") || has("findings/") || has("/again-")) continue;
                CAPTURE(box);
                CHECK(paper.contains(box));
                ++looked_at;
            }
        }
    }
    CHECK(looked_at > 5000);
}
