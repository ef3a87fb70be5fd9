// Pictures from the disk to the card: what may be read, what is said of what may not, and where a picture is then found.
#include "cases/jpeg.h"
#include "cases/png.h"
#include "driver/picture_files.h"
#include "driver/pipeline.h"
#include "text/text.h"
#include "json/json.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <ctime>
#include <filesystem>
#include <fstream>
#include <functional>
#include <sys/stat.h>
#include <unistd.h>

using namespace benchleaf;
using cases::jpeg;
using cases::png;

namespace fs = std::filesystem;

namespace {

bool says(const std::string& all, std::string_view part) {
    return all.find(part) != std::string::npos;
}

// Of processor, so that what else the machine does counts for nothing.
double seconds(const std::function<void()>& work) {
    const std::clock_t start = std::clock();
    work();
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

void write(const fs::path& path, const std::string& bytes) {
    fs::create_directories(path.parent_path());
    std::ofstream(path, std::ios::binary) << bytes;
}

const std::string& folder() {
    static const std::string made = [] {
        std::string name = std::string(BENCHLEAF_BINARY_DIR) + "/pictures-test-" + std::to_string(::getpid());
        fs::remove_all(name);
        fs::create_directories(name);
        return name;
    }();
    return made;
}

std::map<std::string, std::string> small_shop(const std::string& picture) {
    return {
        {"shop.yaml", "shop: mill\nname: Mill\n"},
        {"catalogue/frame.yaml", "catalogue: frame\nparts:\n  seat: seat\n"},
        {"vehicles/cart.yaml", "vehicle: cart\nname: Cart\n"},
        {"work/look.yaml",
         "procedure: look\ntitle: Look\nrevision: 1\nuses: frame\nsteps:\n  - say: Look at the seat.\n    picture: " +
             picture + "\n"},
        {"jobs/j.yaml", "job: j\nvehicle: cart\ndate: 2026-11-25\nidentity: { registration: A 1 }\ndo: look\n"}};
}

struct Printed {
    std::unique_ptr<driver::Shopful> shop;
    std::unique_ptr<driver::Work> work;
};

Printed print(const driver::Files& files) {
    Printed made{driver::link_shop(files), nullptr};
    REQUIRE(made.shop->linked.jobs.size() == 1);
    made.work = driver::make_job(*made.shop, linked::JobId(0), {});
    return made;
}

std::string told(const messages::Messages& all) {
    std::string text;
    for (const messages::Message& each : all.all())
        text += fmt::format("[{}] {} | {}\n", each.rule->name, each.text, each.help);
    return text;
}

const std::string marked =
    "{ file: pictures/a.png, shows: A seat., marks: { seat: 40 % 30 %, Its rail: 60 % 70 % from 90 % 90 % } }";

} // namespace

TEST_CASE("on disk: what is no plain file within the shop is refused, and nothing hangs") {
    const std::string whole = png(400, 300, 0, 8, cases::checkered);
    const fs::path root = fs::path(folder()) / "shop";
    for (const auto& [path, text] : small_shop("pictures/a.png")) write(root / path, text);
    write(root / "pictures/a.png", whole);
    write(fs::path(folder()) / "outside.png", whole);
    fs::create_directories(root / "pictures/folder.png");
    REQUIRE(::mkfifo((root / "pictures/fifo.png").c_str(), 0600) == 0);
    fs::create_symlink("a.png", root / "pictures/link.png");
    fs::create_symlink("../../outside.png", root / "pictures/out.png");
    fs::create_symlink("loop.png", root / "pictures/loop.png");
    fs::create_symlink("/dev/zero", root / "pictures/zero.png");
    write(root / "pictures/sparse.png", "");
    fs::resize_file(root / "pictures/sparse.png", 1U << 30U);
    const auto read = driver::read_shop(root);
    REQUIRE(read.ok());
    const driver::Shelf& shelf = *read.value().files.shelf;
    const auto why = [&](const std::string& path) {
        const driver::Shelf::Held& held = shelf.at(path);
        return held.picture != nullptr ? std::string() : held.refused.why + " | " + held.refused.help;
    };
    const double took = seconds([&] {
        CHECK(why("pictures/a.png").empty());
        CHECK(why("pictures/link.png").empty());
        CHECK(says(why("pictures/b.png"), "did you mean `pictures/a.png`?"));
        CHECK(says(why("pictures/folder.png"), "folder"));
        CHECK(says(why("pictures/fifo.png"), "no plain file"));
        CHECK(says(why("pictures/out.png"), "leads out"));
        CHECK(says(why("pictures/zero.png"), "leads out"));
        CHECK(says(why("pictures/loop.png"), "no such file"));
        CHECK(says(why("pictures/sparse.png"), "million bytes"));
        CHECK(says(why("../outside.png"), "shop's folder"));
        CHECK(says(why("pictures/../../outside.png"), "shop's folder"));
        CHECK(says(why((fs::path(folder()) / "outside.png").string()), "shop's folder"));
        CHECK(says(why("shop.yaml"), ".png"));
        CHECK(!why(std::string("pictures/a\0.png", 15)).empty());
        CHECK(!why(std::string(5000, 'a') + ".png").empty());
    });
    CHECK(took < 0.3 * BENCHLEAF_TIME_SLACK);
    // And the whole way: the same message with the job as with the shop.
    const Printed good = print(read.value().files);
    INFO(told(good.work->messages));
    CHECK(good.work->cards.size() == 1);
    write(root / "pictures/a.png", whole.substr(0, 100));
    const auto anew = driver::read_shop(root);
    REQUIRE(anew.ok());
    const Printed bad = print(anew.value().files);
    CHECK(bad.work->cards.empty());
    CHECK(says(told(bad.work->messages), "[picture-unreadable] `pictures/a.png` cannot be printed"));
    const auto checked = driver::check_shop(anew.value().files, {});
    CHECK(checked->messages.count(messages::Level::error) == 1);
    CHECK(says(told(checked->messages), "[picture-unreadable] `pictures/a.png` cannot be printed"));
    fs::remove_all(folder());
}

TEST_CASE("a card with a picture: on paper, as text, as JSON, in its digest and among what it was made of") {
    driver::Files files = small_shop(marked);
    files["pictures/a.png"] = png(800, 600, 2, 8, [](auto x, auto y, int c) {
        return static_cast<int>((x / 3 + y + 90 * static_cast<std::uint32_t>(c)) % 256);
    });
    const Printed one = print(files);
    INFO(told(one.work->messages));
    REQUIRE(one.work->cards.size() == 1);
    const driver::PagedCard& card = one.work->cards.front();
    CHECK(says(text::print(card.card), "[picture: a.png: 1 seat, 2 Its rail]"));
    const std::string json = json::print(card.card);
    CHECK(says(json, "\"file\": \"pictures/a.png\""));
    CHECK(says(json, "\"shows\": \"A seat.\""));
    const std::string sources = driver::sources_of(*one.shop, *one.work, files);
    CHECK(says(sources, "path: \"pictures/a.png\""));
    CHECK(says(sources, "    base64: |\n      iVBORw0KGgo"));
    const auto pdf = driver::pdf_of(card, {true, sources});
    REQUIRE(pdf.ok());
    CHECK(says(pdf.value(), "/Subtype/Image"));
    const Printed two = print(files);
    CHECK(driver::pdf_of(two.work->cards.front(), {true, sources}).value() == pdf.value());
    CHECK(two.work->cards.front().card.head.digest == card.card.head.digest);
    // Another picture of the same size by the same name is another card.
    files["pictures/a.png"] = png(800, 600, 2, 8, cases::checkered);
    CHECK(print(files).work->cards.front().card.head.digest != card.card.head.digest);
}

TEST_CASE("a photo of twelve million pixels makes a card of a few hundred kilobytes") {
    driver::Files files = small_shop("pictures/a.jpg");
    files["pictures/a.jpg"] = jpeg(4000, 3000);
    const Printed made = print(files);
    INFO(told(made.work->messages));
    REQUIRE(made.work->cards.size() == 1);
    const auto pdf = driver::pdf_of(made.work->cards.front(), {true, {}});
    REQUIRE(pdf.ok());
    CHECK(says(pdf.value(), "/Filter/DCTDecode"));
    CHECK(pdf.value().size() < 400'000);
}
