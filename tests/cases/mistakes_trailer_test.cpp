// As mistakes_test.cpp, of a trailer: bearings that are set in rounds, a bracket that one answer renews, a nose on a trestle.
#include "cases/pipeline.h"
#include "driver/shop_files.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace benchleaf;

namespace {

constexpr const char* hubs = "hubs/hub-bearings.yaml";
constexpr const char* jockey = "coupling/jockey-service.yaml";
constexpr const char* hub_things = "catalogue/hubs.yaml";

struct Change {
    std::string file;
    std::string from;
    std::string to;
};

void check(const std::vector<Change>& mistake, const std::vector<std::string>& expected) {
    const auto shop = driver::read_shop(BENCHLEAF_SOURCE_DIR "/tests/valid/saltmere-trailers");
    REQUIRE(shop.ok());
    std::map<std::string, std::string> files(shop.value().files.begin(), shop.value().files.end());
    for (const Change& each : mistake) {
        std::string& text = files.at(each.file);
        const std::size_t at = text.find(each.from);
        REQUIRE_MESSAGE(at != std::string::npos, each.from);
        text.replace(at, each.from.size(), each.to);
    }
    const std::vector<std::string> given = cases::helps(files);
    CHECK_MESSAGE(given == expected, fmt::format("given:\n  {}", fmt::join(given, "\n  ")));
}

// The lines from the first of a step, or of an entry, up to the next, are left out.
void without(const std::string& file, const std::string& first, const std::vector<std::string>& expected) {
    const auto shop = driver::read_shop(BENCHLEAF_SOURCE_DIR "/tests/valid/saltmere-trailers");
    REQUIRE(shop.ok());
    const std::string& text = shop.value().files.at(file);
    const std::size_t at = text.find(first);
    REQUIRE_MESSAGE(at != std::string::npos, first);
    const std::string margin(first.find_first_not_of(' ') + 1, ' ');
    std::size_t end = text.find('\n', at) + 1;
    while (text.compare(end, margin.size(), margin) == 0) end = text.find('\n', end) + 1;
    INFO(first);
    check({{file, text.substr(at, end - at), ""}}, expected);
}

} // namespace

TEST_CASE("what one answer takes apart is put together in it, told once") {
    const std::string fit = "      - fit: jockey-bracket\n";
    const std::string tighten = "      - fit: bracket-bolt\n      - torque: bracket-bolt\n";
    check({{jockey, fit, ""}, {jockey, tighten, ""}},
          {"ways-differ: add `- fit: jockey-bracket` after `- renew: jockey-bracket`, then `- fit: bracket-bolt` and "
           "`- torque: bracket-bolt` after `- apply: blue-locker`, under its `if-not`, where the answer is no"});
    check({{jockey, tighten, tighten + "    if-so:\n      - slacken: bracket-bolt\n"}},
          {"ways-differ: add `- torque: bracket-bolt` after `- slacken: bracket-bolt`, under its `if-so`, where the "
           "answer is yes"});
}

TEST_CASE("a setting that is changed in passing is told once") {
    const std::string renew = "      - renew: outer-bearing\n";
    const std::string rest = " out of the question: the rest is done with the trailer frame on-stands";
    check({{hubs, renew, renew + "      - set: { frame: jacked }\n"}},
          {"still-needed: take `- set: { frame: jacked }`" + rest});
    check({{hubs, renew, renew + "      - set: { frame: jacked }\n      - set: { frame: down }\n"}},
          {"still-needed: take `- set: { frame: jacked }` and `- set: { frame: down }`" + rest});
    check({{hubs, "      - stop: A stub", "      - set: { frame: jacked }\n      - stop: A stub"}},
          {"still-needed: take `- set: { frame: jacked }`" + rest});
    check({{hubs, "  - measure: hub-play\n", "  - set: { frame: jacked }\n  - measure: hub-play\n"}},
          {"still-needed: leave `- set: { frame: jacked }` out: the rest is done with the trailer frame on-stands"});
}

TEST_CASE("where the work stops is not told besides, where the same is wrong anyhow") {
    without(hubs, "  - snug: road-wheel-nut",
            {"still-needed: add `- snug: road-wheel-nut` after `- fit: road-wheel-nut`"});
}

TEST_CASE("what goes last goes behind the steps in words, or before them") {
    without("coupling/nose-down.yaml", "  - set: { chocks: free }",
            {"left-set: add `- set: { chocks: free }` after `- set: { nose: on-jockey }`, or after `- Draw the trestle "
             "out.` if that is done first, or say `ends-with: { chocks: chocked }`"});
}

TEST_CASE("what is read or looked at only after it decided is told once, wherever it stands") {
    const std::string measure = "  - measure: journal\n    tool: micrometer\n";
    check({{hubs, measure, ""}, {hubs, "  - fit: hub\n", "  - fit: hub\n" + measure}},
          {"decided-unmeasured: move `- measure: journal` before this step"});
    const std::string look = "  - inspect: jockey-bracket\n    look-for: Cracks at the welds.\n    id: bracket-look\n";
    check({{jockey, look, ""}, {jockey, "  - fit: jockey-leg\n", "  - fit: jockey-leg\n" + look}},
          {"not-asked-before: move the step `bracket-look` before this one"});
}

TEST_CASE("a round begins with slackening what it tightens") {
    const std::string from = "  - slacken: castle-nut\n    id: round\n";
    const std::string snug = "  - snug: castle-nut\n    say: Run the castle nut in by hand.\n";
    const std::string torque = "  - torque: castle-nut\n    say: Turn the hub all the while.\n";
    const std::string measure = "  - measure: hub-play\n    tool: dial-gauge\n";
    const std::string id = "    id: round\n";
    const std::string begin = "repeat-drifts: let each round begin with `- slacken: castle-nut`: ";
    // The id went to another step …
    const auto given_to = [&](const std::string& step, const std::string& expected) {
        check({{hubs, from, "  - slacken: castle-nut\n"}, {hubs, step, step + id}}, {expected});
    };
    given_to("  - fit: castle-nut\n", begin + "give that the `id: round`, which `- fit: castle-nut` has now");
    given_to(snug, begin + "give that the `id: round`, which `- snug: castle-nut` has now");
    given_to(torque, begin + "give that the `id: round`, which `- torque: castle-nut` has now");
    given_to(measure, "measured-over-and-over: begin the round at the step that sets it: give `- slacken: castle-nut` "
                      "the `id: round`; or put one in: without that, a round hopes for a kinder reading");
    // … as there is no step that slackens.
    const auto lacking = [&](const std::string& step, const std::string& expected) {
        check({{hubs, from, ""}, {hubs, step, step + id}}, {begin + expected});
    };
    lacking(snug, "add that with the `id: round`, which `- snug: castle-nut` has now, before `- torque: castle-nut`");
    lacking(torque, "add that with the `id: round`, which `- torque: castle-nut` has now, before it");
}

TEST_CASE("what lies behind each other in a ring is told as that alone") {
    check({{hub_things, "    behind: [dust-cap]\n", "    behind: [hub]\n"}},
          {"cycle-of-parts: take one of these away, or give a part a place of its own that frees it (`also`)"});
}

TEST_CASE("a thread-locker is applied in some amount") {
    without(jockey, "      - apply: blue-locker",
            {"no-locker: add `- apply: blue-locker` with `to: bracket-bolt` and the `amount` before `- fit: "
             "bracket-bolt`"});
}
