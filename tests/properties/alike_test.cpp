// In a shop of many vehicles each procedure is proved only on those that differ in what it looks at (driver/prove_shop.h). Held against proving
// each on every one: over the demo shop with copies of its vehicles whose figures, features and items differ, and with lines lost anywhere,
// the very same messages are told.
//
// BENCHLEAF_SHOPS is how many such shops (CI: 24).
#include "driver/pipeline.h"
#include "gates/program.h"
#include "messages/render.h"

#include <doctest/doctest.h>
#include <random>
#include <regex>

using namespace benchleaf;

namespace {

using Random = std::mt19937;

std::string told(const driver::Files& files, driver::Vehicles vehicles) {
    const auto shop = driver::check_shop(files, {.vehicles = vehicles});
    return messages::render_human(shop->messages, shop->sources, {});
}

// Another value for one figure of the vehicle: near by, absurd, or that of another of its copies.
void change_figure(std::string& text, Random& random) {
    static const std::regex figure("([0-9.]+) (N·m|mm|L)");
    std::vector<std::smatch> all;
    for (auto at = std::sregex_iterator(text.begin(), text.end(), figure); at != std::sregex_iterator(); ++at)
        all.push_back(*at);
    if (all.empty()) return;
    const std::smatch& one = all[random() % all.size()];
    static const std::vector<std::string> values = {"1", "4", "22", "23", "60", "400", "0.002"};
    text.replace(static_cast<std::size_t>(one.position(1)), static_cast<std::size_t>(one.length(1)),
                 values[random() % values.size()]);
}

// What only some of the copies say of their items.
const std::vector<std::string> of_items = {
    "  wheel-chock: { name: chock }\n",
    "  lower-guide-bolt: { count: 2 }\n",
    "  lower-guide-bolt: { threadlock: threadlocker }\n",
    "  caliper: { behind: [] }\n",
    "  front-disc: { name: front rotor of the trike }\n",
    "  engine-oil: { holds: 150 L }\n",
    "  inner-pad: { only-on: { body: motorcycle } }\n",
};

driver::Files with_copies(const driver::Files& demo, bool that_differ, Random& random) {
    driver::Files files;
    for (const auto& [path, text] : demo) {
        if (path.starts_with("approvals/")) continue;
        files[path] = text;
        if (!path.starts_with("vehicles/")) continue;
        const std::string id = path.substr(9, path.size() - 14);
        for (int copy = 0; copy < 3; ++copy) {
            std::string other = text;
            const std::string own = id + "-" + std::to_string(copy);
            other.replace(other.find("vehicle: " + id), 9 + id.size(), "vehicle: " + own);
            files["vehicles/" + own + ".yaml"] = other;
            if (!that_differ) continue;
            if (random() % 2 == 0) change_figure(other, random);
            if (random() % 3 == 0 && other.find("\nitems:\n") != std::string::npos)
                other.insert(other.find("\nitems:\n") + 8, of_items[random() % of_items.size()]);
            if (random() % 6 == 0)
                if (const std::size_t drum = other.find("rear-brake: drum"); drum != std::string::npos)
                    other.replace(drum, 16, "rear-brake: disc");
            files["vehicles/" + own + ".yaml"] = other;
        }
    }
    return files;
}

void lose_lines(driver::Files& files, Random& random) {
    std::vector<std::string*> texts;
    for (auto& [path, text] : files)
        if (path.ends_with(".yaml") && !path.starts_with("vehicles/") && path != "shop.yaml") texts.push_back(&text);
    const std::size_t lost = random() % 3;
    for (std::size_t i = 0; i < lost; ++i) {
        std::string& text = *texts[random() % texts.size()];
        const std::size_t from = text.find('\n', random() % text.size());
        if (from == std::string::npos) continue;
        const std::size_t to = text.find('\n', from + 1);
        if (to != std::string::npos) text.erase(from, to - from);
    }
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
