// What the program does with its memory while it does what it is for, as valgrind sees it: no byte is read that was not written, none beyond what it was given, and
// nothing is lost; and how much of it a record takes. The sanitizers watch all the other tests; the libraries that they were not built with they do not see into.
#include "bench/grow.h"
#include "driver/shop_files.h"
#include "gates/program.h"
#include "gates/small_shop.h"
#include "gates/talk.h"

#include "digest/digest.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <future>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

TEST_CASE("check, print, record, compare and verify of the demo shop") {
    if (BENCHLEAF_TIME_SLACK > 1)
        return; // beside the sanitizers it cannot run, and in a program that was not optimized it is too slow
    const std::string at = scratch("memory");
    const std::string shop = at + "/shop";
    fs::copy(std::string(BENCHLEAF_SOURCE_DIR) + "/procedures", shop, fs::copy_options::recursive);
    // Answers from a record that was typed.
    const Talk talked = talk({"--shop", shop, "record", "2026-0412"}, somebody(read_as("6.4 mm")), {.folder = at});
    REQUIRE_MESSAGE(talked.ran.status == 0, talked.ran.err);
    std::string text = "answers: 2026-0412\nboxes:\n";
    for (const auto& [box, answer] : boxes_of(read(shop + "/records/oh3-00417/2026-0412.yaml")))
        text += fmt::format("  {}: \"{}\"\n", box, answer);
    write(at + "/answers.yaml", text);
    fs::remove_all(shop + "/records");
    fs::copy(shop, at + "/other", fs::copy_options::recursive);
    spoil_in(at + "/other/vehicles/ostrel-haul-300.yaml", "23 N·m", "25 N·m");
    REQUIRE(run({"--shop", shop, "print", "2026-0412", "--out", at}).status == 0);

    const auto watched = [&](std::vector<std::string> words) {
        words.insert(words.begin(),
                     {"-q", "--error-exitcode=97", "--leak-check=full", "--errors-for-leak-kinds=definite", program()});
        return run("/usr/bin/valgrind", words, {.folder = at, .most_seconds = 300});
    };
    REQUIRE_MESSAGE(run("/usr/bin/valgrind", {"--version"}).status == 0, std::string("apt-get install valgrind"));
    // It sees a mistake where there is one.
    write(at + "/mistake.c", "#include <stdlib.h>\nint main(void) { char* p = malloc(4); p[4] = 1; return 0; }\n");
    REQUIRE(run("/usr/bin/cc", {"-O0", "-o", at + "/mistake", at + "/mistake.c"}).status == 0);
    CHECK(run("/usr/bin/valgrind", {"-q", "--error-exitcode=97", at + "/mistake"}).status == 97);

    auto check = std::async(std::launch::async, [&] { return watched({"--shop", "shop", "check"}); });
    const Ran printed = watched({"--shop", "shop", "print", "2026-0412", "--out", "cards"});
    CHECK_MESSAGE(printed.status == 0, printed.err);
    CHECK(read(at + "/cards/2026-0412.pdf") == read(at + "/2026-0412.pdf"));
    const Ran verified = watched({"--shop", "shop", "verify", "2026-0412.pdf"});
    CHECK_MESSAGE(verified.status == 0, verified.err);
    const Ran checked = check.get();
    CHECK_MESSAGE(checked.status == 0, checked.err);
    auto compare = std::async(std::launch::async, [&] { return watched({"compare", "shop", "other"}); });
    const Ran recorded = watched({"--shop", "shop", "record", "2026-0412", "--from", "answers.yaml"});
    CHECK_MESSAGE(recorded.status == 0, recorded.err);
    const Ran compared = compare.get();
    CHECK_MESSAGE(compared.status == 0, compared.err);
}

TEST_CASE("what a record takes of it, where no job is for its vehicle") {
    if (BENCHLEAF_TIME_SLACK > 1) return; // what a sanitizer keeps beside is more
    constexpr long records = 6000;
    const std::string at = scratch("memory_of_records");
    const std::string from = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";
    const auto demo = benchleaf::driver::read_shop(from);
    REQUIRE(demo);
    const auto grown = [&](std::size_t count) {
        std::string shop = fmt::format("{}/{}", at, count);
        benchleaf::bench::grow(
            demo.value().files, {.catalogues = 20, .procedures = 300, .vehicles = 50, .records = count, .jobs = 10},
            [&](const std::string& path, const std::string& text) { write(shop + "/" + path, text); });
        fs::create_directories(shop + "/pictures");
        fs::copy(from + "/pictures", shop + "/pictures", fs::copy_options::recursive);
        return shop;
    };
    const std::string without = grown(0), with = grown(records);
    const auto peak = [&](const std::string& shop, const std::vector<std::string>& more) {
        std::vector<std::string> words = {"--shop", shop, "check", "--cores", "1"};
        words.insert(words.end(), more.begin(), more.end());
        const Ran ran = run(program(), words, {.environment = {"XDG_CACHE_HOME=" + shop + ".cache"}});
        CHECK_MESSAGE(ran.status == 0, ran.err);
        return ran.peak_kib;
    };
    // Of 100 000 it was 131 bytes each, and 398 where what was found is left for the next check.
    const long checked = (peak(with, {"--anew"}) - peak(without, {"--anew"})) * 1024 / records;
    const long remembered = (peak(with, {}) - peak(without, {})) * 1024 / records;
    MESSAGE("a record takes " << checked << " bytes, and " << remembered << " where it is remembered");
    CHECK(checked < 900);
    CHECK(remembered < 900);

    // The same is left behind, and used again, where the shop's folder is named as a path.
    const std::string cache = at + "/by-path.cache";
    const auto by_path = [&](const std::string& folder, const std::string& path) {
        return run(program(), {"check", path}, {.folder = folder, .environment = {"XDG_CACHE_HOME=" + cache}});
    };
    const Ran first = by_path(at, "0");
    CHECK_MESSAGE(first.status == 0, first.err);
    const auto left = [&] {
        return fs::exists(cache) ? std::distance(fs::recursive_directory_iterator(cache), {}) : 0;
    };
    CHECK(left() == 2); // a folder, and what it knows of this shop
    CHECK(by_path(without, ".").out == first.out);
    CHECK(left() == 2);
    spoil_in(without + "/vehicles/ostrel-haul-300-f0-v0.yaml", "vehicle:", "vehicel:");
    const Ran spoiled = by_path(at, without);
    CHECK(spoiled.status == 1);
    CHECK(spoiled.err == run(program(), {"--shop", without, "check", "--anew"}).err);
}
