// As mistakes_test.cpp, of steps that stand too late or at the wrong end of the work.
#include "cases/mistaken.h"
#include "driver/shop_files.h"

using namespace benchleaf;

namespace {

const cases::MistakenShop mopeds("wickerby-mopeds");
const cases::MistakenShop mowers("dunmallow-mowers");
const cases::MistakenShop trikes("cargo-trikes");

} // namespace

TEST_CASE("a level that is read at an open plug is read before it goes in") {
    constexpr const char* gearbox = "driveline/gearbox-oil-wheels-off.yaml";
    mowers.check(
        {{gearbox, "  - level: gearbox-oil\n", ""},
         {gearbox, "  - leak-check: gearbox-oil", "  - level: gearbox-oil\n  - leak-check: gearbox-oil"}},
        {"outside-while: move this step before `- fit: level-plug`: there the gearbox level plug is still off"});
    trikes.without("brakes/front-brakes.yaml", "  - level: front-brake",
                   {"left-owing: add `- level: front-brake` after `- prime: front-brake`, or say `ends-with: { "
                    "front-brake: { owes: [level] } }`"});
}

TEST_CASE("what pinches is tightened behind what it pinches, not where it is needed at last") {
    constexpr const char* legs = "front-end/fork-legs.yaml";
    mopeds.check({{legs, "  - torque: pinch-bolt\n", ""},
                  {legs, "  - torque: fork-cap\n", "  - torque: fork-cap\n  - torque: pinch-bolt\n"}},
                 {"outside-while: move `- torque: pinch-bolt` after `- fit: fork-leg`"});
}

TEST_CASE("a tab washer that nothing declares is no part") {
    mopeds.without("catalogue/moped-forks.yaml", "  lock-tab:",
                   {"unknown-name: add `lock-tab: { name: lock tab, secured-by: fit, count: …, locks: castle-nut, "
                    "behind: [handlebar], reuse: …, critical: true, needs: {…}, each: … }` to the `fasteners` in "
                    "catalogue/moped-forks.yaml (leave out what it does not have; …), or correct the name in all those "
                    "places"});
}

namespace {

const cases::MistakenShop loaders("loader-arms");

} // namespace

TEST_CASE("what holds something up is set as soon as that is up") {
    loaders.without(
        "loader/arm-pins.yaml", "  - set: { safety-prop: in-place }",
        {"needs-unmet: add `- set: { safety-prop: in-place }` after `- set: { loader-arm: raised }`, in the "
         "section that is worked once, or say `starts-with: { safety-prop: in-place }`"});
}

TEST_CASE("what one answer alone sets for its own work is set back at its end") {
    constexpr const char* hoses = "loader/lift-hoses.yaml";
    loaders.without(hoses, "      - set: { engine: running }",
                    {"ways-differ: add `- set: { engine: running }` at the end, under its `if-so`, where the answer is "
                     "yes"});
}

TEST_CASE("what is washed once it was greased was to be washed before") {
    constexpr const char* pins = "loader/arm-pins.yaml";
    loaders.check(
        {{pins, "  - clean: [arm-pin, pin-bolt]\n    with: degreaser\n", ""},
         {pins, "  - fit: arm-pin\n", "  - clean: [arm-pin, pin-bolt]\n    with: degreaser\n  - fit: arm-pin\n"}},
        {"left-owing: move `- clean: [arm-pin, pin-bolt]` before `- measure: arm-pin-size`, which wants it clean; "
         "where it "
         "stands it washes off `- apply: pin-grease`"});
}

TEST_CASE("a linch pin that nothing declares is shown the pin that it holds") {
    loaders.without(
        "catalogue/loader-arm.yaml", "  linch-pin:",
        {"unknown-name: add `linch-pin: { name: linch pin, secured-by: fit, count: …, locks: bucket-pin, behind: "
         "[…], reuse: …, critical: true, needs: {…}, each: side }` to the `fasteners` in "
         "catalogue/loader-arm.yaml (leave out what it does not have; …), or correct the name in all those places"});
}

TEST_CASE("a step whose words are of one side is not widened: another is written for the other") {
    loaders.without(
        "loader/lift-hoses.yaml", "  - fit: lift-hose\n    only: { side: right }",
        {"holds-nothing: add `- fit: lift-hose` with `only: { side: right }` behind that step, whose words are "
         "of left alone"});
}

namespace {

const cases::MistakenShop campers("camper-trailers");
const cases::MistakenShop wrens("wren-motorcycles");
const cases::MistakenShop packmen("packman-cycles");

} // namespace

TEST_CASE("what is slackened too late has not disturbed what was set before it") {
    constexpr const char* hubs = "axle/hubs-and-drums.yaml";
    campers.check({{hubs, "  - slacken: rod-lock-nut\n    why: A slack rod lets the shoes come in.\n", ""},
                   {hubs, "  - torque: rod-lock-nut\n", "  - slacken: rod-lock-nut\n  - torque: rod-lock-nut\n"}},
                  {"outside-while: move `- slacken: rod-lock-nut` before this step"});
}

TEST_CASE("what one answer renews comes off before it is measured") {
    wrens.without("brakes/front-brake-back.yaml", "  - remove: pads",
                  {"wrong-place: add `- remove: pads` before `- measure: pad-lining`"});
}

TEST_CASE("a step of one side, with words of that side, is missing") {
    packmen.without(
        "driveline/rear-wheel-and-chain.yaml", "  - torque: wheel-nut\n    only: { side: left }",
        {"wrong-place: add `- torque: wheel-nut` with `only: { side: left }` behind that step, whose words are "
         "of right alone"});
}
