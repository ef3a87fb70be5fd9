// As mistakes_test.cpp, of a fork whose oil is changed: rounds of filling, pinch bolts, and one procedure that goes on where another ends.
#include "cases/mistaken.h"
#include "driver/shop_files.h"

using namespace benchleaf;

namespace {

constexpr const char* out = "fork/fork-legs-out.yaml";
constexpr const char* oil = "fork/fork-oil-change.yaml";

const cases::MistakenShop shop("withy-lane-cycles");

void check(const std::vector<cases::MistakenShop::Change>& mistake, const std::vector<std::string>& expected) {
    shop.check(mistake, expected);
}
void without(const std::string& file, const std::string& first, const std::vector<std::string>& expected) {
    shop.without(file, first, expected);
}

} // namespace

TEST_CASE("a pinch bolt is slackened, and what it pinches is in before it is tightened") {
    without(out, "  - slacken: upper-pinch-bolt", {"still-held: add `- slacken: upper-pinch-bolt` before this step"});
    without(oil, "  - fit: fork-leg", {"pinches-nothing: add `- fit: fork-leg` before this step"});
    check({{oil,
            "  - fit: fork-leg\n    say: Push the leg up until its top is level with the yoke.\n  - torque: "
            "lower-pinch-bolt\n",
            "  - torque: lower-pinch-bolt\n  - fit: fork-leg\n    say: Push the leg up until its top is level with the "
            "yoke.\n"}},
          {"pinches-nothing: move `- fit: fork-leg` before this step"});
    without(oil, "  - torque: upper-pinch-bolt",
            {"still-needed: add `- torque: upper-pinch-bolt` after `- torque: lower-pinch-bolt`"});
}

TEST_CASE("what is filled once is filled before the rounds, and levelled before it is read") {
    without(oil, "  - fill: fork-oil", {"proof-order: add `- fill: fork-oil` before the step `pump`"});
    without(oil, "  - level: fork-oil", {"proof-order: add `- level: fork-oil` before `- measure: oil-gap`"});
    without(oil, "  - wait: 5 min", {"level-too-early: add `- wait: 5 min` right before this step"});
    without(oil, "  - measure: oil-gap",
            {"decided-unmeasured: add `- measure: oil-gap` before this step, on every way that leads here"});
    check({{oil, "  - open: fork-oil\n    say: Tip the oil out into the pan.\n",
            "  - say: Tip the oil out into the pan.\n"}},
          {"filled-undrained: where it is drained, add `- open: fork-oil` after `- remove: fork-cap`; where it is only "
           "topped "
           "up, write how much in `amount`"});
}

TEST_CASE("what goes on where another ends says so, all at once") {
    const std::string contract =
        "starts-with:\n  front-end: raised\n  front-axle: off\n  axle-cap-nut: loose\n  front-wheel: off\n"
        "  upper-pinch-bolt: loose\n  lower-pinch-bolt: loose\n  fork-cap: loose\n  fork-leg: off\n"
        "  front-brake-play: { owes: [adjust, prove] }\n";
    check(
        {{oil, contract, ""}},
        {"starts-unsaid: add `starts-with: { front-end: raised, front-axle: off, axle-cap-nut: loose, front-wheel: "
         "off, "
         "upper-pinch-bolt: loose, lower-pinch-bolt: loose, fork-cap: loose, fork-leg: off, front-brake-play: { owes: "
         "[adjust, prove] } }` above `steps`"});
    check({{oil, "  axle-cap-nut: loose\n", ""}}, {"starts-unsaid: add `axle-cap-nut: loose` to `starts-with`"});
    check({{out, "  fork-cap: loose\n", ""}}, {"left-loose: add `fork-cap: loose` to `ends-with`, or add `- torque: "
                                               "fork-cap` once the lower pinch bolt is tight again"});
    check({{"jobs/2026-0701.yaml", "[fork-legs-out, fork-oil-change]", "[fork-oil-change]"}},
          {"contract-broken: put `fork-legs-out` before it in `do`"});
    check({{oil, "  - section: Wheel in\n    once: true\n", "  - section: Wheel in\n"}},
          {"needs-unmet: this section is worked side by side, and does what is done once: add `once: true` to it"});
}

TEST_CASE("what comes off, or is set, goes where it belongs") {
    without(oil, "  - remove: fork-spring", {"wrong-place: add `- remove: fork-spring` after `- remove: fork-cap`"});
    without(out, "  - slacken: fork-cap",
            {"contract-broken: add `- slacken: fork-cap` before `- slacken: lower-pinch-bolt`"});
    without(oil, "  - adjust: front-brake-play",
            {"left-owing: add `- adjust: front-brake-play` before `- measure: lever-play`, or say `ends-with: { "
             "front-brake-play: { owes: [adjust, prove] } }`"});
    without(oil, "  - set: { front-end: down }",
            {"left-set: add `- set: { front-end: down }` after the whole of `- decide: lever-play`, or say `ends-with: "
             "{ front-end: "
             "raised }`"});
}
