// Whole cards of the demo shop, as they were looked at: what somebody reads and writes on, word for word. The files beside this one
// are named after the card, with the language where it is not the shop's, and end in the form:
//
//     .txt    the card as text          .json    the card as JSON          .a4, .letter    every box on that paper, in 1/1000 pt
//
// BENCHLEAF_BLESS=1 rewrites them. Then read the difference: a card is what a mechanic works by.
#include "driver/pipeline.h"
#include "driver/shop_files.h"
#include "fixes/fixes.h"
#include "gates/program.h"
#include "messages/render.h"
#include "pages/pages.h"
#include "text/text.h"
#include "json/json.h"

#include <algorithm>
#include <cstdlib>
#include <doctest/doctest.h>
#include <memory>
#include <set>
#include <sstream>

using namespace benchleaf;

namespace {

const std::string here = std::string(BENCHLEAF_SOURCE_DIR) + "/tests/cards";

const driver::Shopful& shop() {
    static const auto linked = [] {
        const auto read = driver::read_shop(std::string(BENCHLEAF_SOURCE_DIR) + "/procedures");
        REQUIRE(read.ok());
        return driver::link_shop(read.value().files);
    }();
    return *linked;
}

// Of a job, or with a vehicle the blank of a procedure; empty when there is none of that name.
std::unique_ptr<driver::Work> work(const std::string& name, const std::string& vehicle,
                                   const driver::PrintOptions& options) {
    const linked::Linked& all = shop().linked;
    const auto index = [](const auto& entries, const std::string& id) {
        const auto found =
            std::find_if(entries.begin(), entries.end(), [&](const auto& each) { return each.source->id.value == id; });
        REQUIRE_MESSAGE(found != entries.end(), "the demo shop has no ", id);
        return static_cast<std::size_t>(found - entries.begin());
    };
    if (vehicle.empty()) return driver::make_job(shop(), linked::JobId(index(all.jobs, name)), options);
    return driver::make_blank(shop(), linked::ProcedureId(index(all.procedures, name)),
                              linked::VehicleId(index(all.vehicles, vehicle)), options);
}

struct Golden {
    std::string file;
    std::string work;    // a job, or a procedure
    std::string vehicle; // of a blank
    std::string card;    // its file's stem
    std::string language;
    pages::Paper paper = pages::Paper::a4;
};

const std::vector<Golden>& goldens() {
    static const std::string disc = "2026-0412-2-front-disc-service";
    static const std::string wheels = "2026-0412-1-front-wheels-off";
    static const std::string chain = "2026-0421-7-chain-service";
    static const std::string hub = "2026-0423-3-hub-bearing-adjust";
    static const std::string blank = "front-disc-service-ostrel-haul-300";
    static const std::string cover = "2026-0412-0-cover";
    static const std::vector<Golden> all = {
        {cover + ".txt", "2026-0412", "", cover, "en"},
        {cover + ".json", "2026-0412", "", cover, "en"},
        {cover + ".fr.txt", "2026-0412", "", cover, "fr"},
        {cover + ".a4", "2026-0412", "", cover, "en", pages::Paper::a4},
        {disc + ".txt", "2026-0412", "", disc, "en"},
        {disc + ".json", "2026-0412", "", disc, "en"},
        {disc + ".de.txt", "2026-0412", "", disc, "de"},
        {disc + ".el.txt", "2026-0412", "", disc, "el"},
        {chain + ".txt", "2026-0421", "", chain, "en"},
        {hub + ".txt", "2026-0423", "", hub, "en"},
        {blank + ".txt", "front-disc-service", "ostrel-haul-300", blank, "en"},
        {wheels + ".a4", "2026-0412", "", wheels, "en", pages::Paper::a4},
        {wheels + ".letter", "2026-0412", "", wheels, "en", pages::Paper::letter},
    };
    return all;
}

// The boxes without the modules of the code, which another test reads back: with every change of a word they all change.
std::string boxes(const pages::Pages& laid) {
    std::stringstream lines(pages::dump(laid));
    std::string text;
    for (std::string line; std::getline(lines, line);)
        if (line.find_first_not_of(" 01") != std::string::npos) text += line + "\n";
    return text;
}

std::string made(const Golden& golden) {
    driver::PrintOptions options;
    options.language = golden.language;
    options.paper = golden.paper;
    const auto done = work(golden.work, golden.vehicle, options);
    INFO(messages::render_human(done->messages, shop().sources, {}));
    const auto as = [&](const auto& leaf, const pages::Pages& laid) {
        if (golden.file.ends_with(".txt")) return text::print(leaf);
        if (golden.file.ends_with(".json")) return json::print(leaf);
        return boxes(laid);
    };
    if (done->cover && done->cover->cover.file_stem == golden.card) return as(done->cover->cover, done->cover->pages);
    for (const driver::PagedCard& each : done->cards)
        if (each.card.file_stem == golden.card) return as(each.card, each.pages);
    FAIL("no card ", golden.card, " among ", done->cards.size());
    return {};
}

// The first lines that differ, in their surroundings.
std::string difference(const Golden& golden, const std::string& expected, const std::string& given) {
    std::stringstream all(fixes::unified_diff("tests/cards/" + golden.file, expected, given));
    std::string shown;
    std::string line;
    for (int count = 0; count < 30 && std::getline(all, line); ++count) shown += line + "\n";
    return shown + (all.eof() ? "" : "…\n");
}

} // namespace

TEST_CASE("the cards of the demo shop are as they were looked at") {
    const char* bless = std::getenv("BENCHLEAF_BLESS");
    for (const Golden& golden : goldens()) {
        CAPTURE(golden.file);
        const std::string path = here + "/" + golden.file;
        const std::string expected = gates::read(path);
        const std::string given = made(golden);
        if (bless && std::string_view(bless) == "1") {
            if (given != expected) gates::write(path, given);
            continue;
        }
        const bool same = given == expected; // doctest would print both
        CHECK_MESSAGE(same, difference(golden, expected, given));
    }
}

TEST_CASE("no file lies beside them that nothing compares") {
    std::set<std::string> names = {"cards_test.cpp"};
    for (const Golden& golden : goldens()) names.insert(golden.file);
    for (const auto& entry : std::filesystem::directory_iterator(here)) {
        CAPTURE(entry.path().string());
        CHECK(names.contains(entry.path().filename().string()));
    }
}
