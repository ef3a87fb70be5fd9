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
                    "behind: [handlebar], reuse: …, critical: true, needs: {…} }` to the `fasteners` in "
                    "catalogue/moped-forks.yaml (leave out what it does not have; …), or correct the name in all those "
                    "places"});
}
