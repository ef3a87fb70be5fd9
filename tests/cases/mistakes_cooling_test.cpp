// As mistakes_test.cpp, of a cooling system: a pump behind its belt, a belt that is set in rounds, a load bed that one answer lowers.
#include "cases/mistaken.h"
#include "driver/shop_files.h"

using namespace benchleaf;

namespace {

constexpr const char* drain = "cooling/coolant-drain.yaml";
constexpr const char* pump = "cooling/pump-and-thermostat.yaml";
constexpr const char* things = "catalogue/cooling.yaml";

const cases::MistakenShop shop("tarrow-lane-garage");

} // namespace

TEST_CASE("a torque that is missing goes behind its bolt, not where it is too late") {
    shop.without(pump, "  - torque: pump-bolt",
                 {"shut-in: add `- torque: pump-bolt` after `- fit: pump-bolt`: once the fan belt is on, it cannot be "
                  "reached"});
}

TEST_CASE("a way of a question that lacks a step is named, and the step") {
    shop.check(
        {{drain, "      - set: { load-bed: propped }\n        say: Raise the load bed and latch its prop.\n", ""}},
        {"ways-differ: add `- set: { load-bed: propped }` at the end, under its `if-so`, where the answer is yes"});
    shop.check({{pump, "    if-not:\n      - renew: fan-belt\n",
                 "    if-not:\n      - renew: fan-belt\n      - fit: radiator-cap\n"}},
               {"ways-differ: take `- fit: radiator-cap` out of the question: `- fit: radiator-cap` stands again "
                "further down, whatever was answered"});
}

TEST_CASE("what a way sets in passing is left as it was, where the rest is done so") {
    shop.check({{pump, "    if-not:\n      - renew: fan-belt\n",
                 "    if-not:\n      - renew: fan-belt\n      - set: { load-bed: down }\n      - Hold the new belt "
                 "beside the old one.\n"}},
               {"still-needed: take `- set: { load-bed: down }` out of the question: the rest is done with the load "
                "bed propped"});
}

TEST_CASE("rounds that lost the step they begin with are given it again") {
    shop.without(
        pump, "  - slacken: tension-bolt\n    id: round",
        {"outside-while: add `- slacken: tension-bolt` with `id: round` before this step: there the rounds begin"});
    shop.without(
        pump, "  - snug: tension-bolt",
        {"wrong-place: add `- snug: tension-bolt` before this step: each round comes back to this step with it "
         "tight"});
}

TEST_CASE("an entry that is missing shows what it is behind") {
    shop.without(things, "  pump-gasket:",
                 {"unknown-name: add `pump-gasket: { name: pump gasket, system: …, held-by: […], behind: [water-pump], "
                  "needs: {…}, reuse: …, each: … }` to the `parts` in catalogue/cooling.yaml (leave out what it does "
                  "not have; …), "
                  "or correct the name in all those places"});
}

TEST_CASE("a filling of next to nothing is a slip of its unit") {
    shop.check({{things, "holds: 4.5 L", "holds: 4.5 mL"}},
               {"filled-absurd: look it up, with its unit; did you mean `4.5 L`?"});
}

TEST_CASE("grease and soap that are forgotten, or go on one side alone") {
    shop.check(
        {{pump, "    if-not:\n      - renew: hose\n",
          "    if-not:\n      - renew: hose\n      - clean: hose\n        with: spray-clean\n"},
         {pump,
          "  - apply: rubber-soap\n    to: hose\n    amount: 1 mL\n    say: Wet the ends of the hose with rubber "
          "soap.\n",
          ""}},
        {"left-owing: add `- apply: rubber-soap` with `to: hose` and its `amount` before `- fit: hose`, or say "
         "`ends-with: "
         "{ hose: { owes: [lubricant] } }`"});
    shop.check(
        {{pump, "    say: Wet the ends of the hose with rubber soap.\n",
          "    say: Wet the ends of the hose with rubber soap.\n    only: { side: left }\n"}},
        {"left-owing: take the `only` out of `- apply: rubber-soap`, or let it take in right; or add the step for it"});
}
