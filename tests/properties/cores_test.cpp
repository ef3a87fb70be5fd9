// On however many cores the work is done, what comes of it is the same (driver/in_order.h): over shops of many vehicles with something wrong anywhere,
// the same messages, and the same cards to the last byte.
//
// BENCHLEAF_SHOPS is how many such shops (CI: 10).
#include "driver/pipeline.h"
#include "messages/render.h"
#include "pages/pages.h"
#include "properties/many_vehicles.h"

#include <atomic>
#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace benchleaf;
using namespace benchleaf::properties;

namespace {

std::string told(const driver::Files& files, std::size_t cores, bool cards) {
    const auto shop = driver::check_shop(files, {.keep_cards = cards, .threads = {cores, cores > 1}});
    std::string text = messages::render_human(shop->messages, shop->sources, {});
    for (const auto& work : shop->works) {
        text += fmt::format("{}, {} cards\n", work->name, work->cards.size());
        text += messages::render_human(work->messages, shop->sources, {});
        for (const driver::PagedCard& card : work->cards) {
            const auto pdf = driver::pdf_of(card, {.sources = driver::sources_of(*shop, *work, files)});
            text += pdf ? pdf.value() : pdf.failure().what;
        }
    }
    return text;
}

} // namespace

TEST_CASE("on however many cores a shop is checked, the same is told and the same cards are made") {
    const auto read = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    REQUIRE(read);
    const char* given = std::getenv("BENCHLEAF_SHOPS");
    const std::size_t many = given != nullptr ? std::stoul(given) : BENCHLEAF_TIME_SLACK > 5 ? 3 : 10;
    Random random(20261128); // NOLINT(cert-msc51-cpp): the same run each time
    std::size_t faulty = 0;
    for (std::size_t i = 0; i < many; ++i) {
        driver::Files files = i % 3 == 0 ? read.value().files : with_copies(read.value().files, i % 3 == 2, random);
        files.shelf = read.value().files.shelf;
        if (i % 5 != 0) lose_lines(files, random);
        const bool cards = i % 5 == 0; // of all jobs, as bytes
        const std::string alone = told(files, 1, cards);
        CAPTURE(i);
        for (const std::size_t cores : {2U, 4U, 7U}) {
            CAPTURE(cores);
            const bool same = alone == told(files, cores, cards); // not shown: it may be megabytes
            CHECK(same);
        }
        if (alone.find("error") != std::string::npos) ++faulty;
    }
    MESSAGE(many, " shops, ", faulty, " with an error");
    CHECK(faulty > 0);
    CHECK(faulty < many);
}

TEST_CASE("values come in their order, few are held at once, and no more are made than are wanted") {
    for (const std::size_t threads : {1U, 2U, 5U, 64U}) {
        CAPTURE(threads);
        std::atomic<std::size_t> made = 0;
        std::size_t taken = 0;
        std::size_t most = 0;
        driver::in_order(
            1000, threads,
            [&](std::size_t i) {
                ++made;
                return std::string(i % 40, 'x') + std::to_string(i);
            },
            [&](std::size_t i, const std::string& value) {
                CHECK(i == taken);
                CHECK(value == std::string(i % 40, 'x') + std::to_string(i));
                most = std::max(most, made - taken);
                return ++taken < 700;
            });
        CHECK(taken == 700);
        CHECK(made <= 700 + 2 * threads);
        CHECK(most <= 2 * threads + 1);
    }
    driver::in_order(
        0, 4, [](std::size_t) { return 0; }, [](std::size_t, int) { return false; });
}

TEST_CASE("where memory fails a thread, that is so where its value would have been taken") {
    for (const std::size_t threads : {1U, 2U, 6U}) {
        CAPTURE(threads);
        std::size_t taken = 0;
        const auto all = [&] {
            driver::in_order(
                50, threads,
                [&](std::size_t i) {
                    if (i == 20) throw std::bad_alloc();
                    return i;
                },
                [&](std::size_t, std::size_t) {
                    ++taken;
                    return true;
                });
        };
        CHECK_THROWS_AS(all(), std::bad_alloc);
        CHECK(taken == 20);
    }
}
