// As mistakes_test.cpp, of rounds under a question: set, read, decide, and where it is not right, loosen, set and read again.
#include "cases/mistaken.h"
#include "driver/shop_files.h"

using namespace benchleaf;

namespace {

constexpr const char* chain = "driveline/chain-tension.yaml";
constexpr const char* belt = "electrical/alternator-belt.yaml";

const cases::MistakenShop cycles("greyfold-cycles");
const cases::MistakenShop vans("tollgate-motors");
const cases::MistakenShop trailers("brindle-trailers");

} // namespace

TEST_CASE("what is slackened on one answer was to be tightened before the question") {
    cycles.without(chain, "  - torque: axle-nut",
                   {"wrong-place: add `- torque: axle-nut` after `- adjust: chain-tension`"});
    cycles.without(chain, "  - torque: jack-nut",
                   {"wrong-place: add `- torque: jack-nut` after `- adjust: chain-tension`"});
    trailers.without("axles/axle-overhaul.yaml", "  - torque: castle-nut",
                     {"wrong-place: add `- torque: castle-nut` after `- fit: castle-nut`"});
}

TEST_CASE("rounds under a question that lost their first step are told once") {
    cycles.without(chain, "      - slacken: axle-nut\n        id: once-more",
                   {"outside-while: add `- slacken: axle-nut` with `id: once-more` before this step: there the rounds "
                    "begin"});
    trailers.without(
        "axles/axle-overhaul.yaml", "      - slacken: castle-nut\n        id: once-more",
        {"wrong-place: add `- slacken: castle-nut` with `id: once-more` before this step: there the rounds "
         "begin"});
}

TEST_CASE("a round under a question that leaves something loose is told once, as that") {
    trailers.without(
        "axles/axle-overhaul.yaml", "      - torque: castle-nut",
        {"repeat-drifts: add `- torque: castle-nut` after `- slacken: castle-nut`: each round leaves it as "
         "it found it"});
}

TEST_CASE("what one step does to several things is told once") {
    vans.without(belt, "  - torque: [alternator-bracket-bolt, alternator-pivot]",
                 {"wrong-place: add `- torque: [alternator-pivot, alternator-bracket-bolt]` after `- adjust: "
                  "belt-tension`"});
    vans.without("brakes/seized-caliper-left.yaml", "  - fit: [lower-slide-bolt, upper-slide-bolt]",
                 {"wrong-place: add `- fit: [lower-slide-bolt, upper-slide-bolt]` before this step"});
    vans.without("brakes/seized-caliper-left.yaml", "  - apply: locker-green",
                 {"no-locker: add `- apply: locker-green` with `to: [lower-slide-bolt, upper-slide-bolt]` and the "
                  "`amount` before `- fit: [lower-slide-bolt, upper-slide-bolt]`"});
}

TEST_CASE("no step stands behind one that ends the work") {
    cycles.without("brakes/brake-bleed.yaml", "        - fit: lever-cap",
                   {"holds-nothing: add `- fit: lever-cap` before this step"});
}

TEST_CASE("what is tightened on the ground is asked for there") {
    vans.without("wheels/front-wheels-on.yaml", "  - torque: front-wheel-bolt",
                 {"wrong-place: add `- torque: front-wheel-bolt` before this step"});
}
