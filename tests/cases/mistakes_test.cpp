// One mistake in a shop that is right: it gives one message, whose help leads back to the shop as it was, or to another that is right.
#include "cases/pipeline.h"
#include "driver/mend.h"
#include "driver/pipeline.h"
#include "messages/message.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace benchleaf;

namespace {

using Files = std::map<std::string, std::string>;

constexpr const char* parts = R"(catalogue: parts
uses: [yard]
parts:
  wheel: { name: wheel, held-by: wheel-nut, needs: { lift: on-stands }, each: side }
  knuckle:
    name: knuckle
    held-by: [upper-bolt, lower-bolt, axle-nut]
    also: { swung: [lower-bolt, axle-nut] }
    behind: wheel
    each: side
  shaft: { name: drive shaft, held-by: axle-nut, behind: knuckle, each: side }
  boot: { name: boot, held-by: [large-clip, small-clip], inside: shaft, reuse: never, each: side }
  link: { name: toe link, each: side }
fasteners:
  wheel-nut:
    name: wheel nut
    thread: M10x1.25
    each: side
    while: { slacken: { lift: down }, remove: { lift: on-stands }, fit: { lift: on-stands }, torque: { lift: down } }
  axle-nut: { name: axle nut, thread: M18x1.5, behind: wheel, each: side }
  upper-bolt: { name: upper bolt, thread: M10x1.25, behind: wheel, each: side }
  lower-bolt: { name: lower bolt, thread: M10x1.25, threadlock: locker, behind: wheel, each: side }
  large-clip: { name: large clip, secured-by: fit, inside: shaft, each: side }
  small-clip: { name: small clip, secured-by: fit, inside: shaft, each: side }
  toe-nut: { name: toe nut, thread: M10x1.25, duty: adjust, each: side }
torques:
  wheel-nut: { value: 45 N·m, threads: dry, source: maker's manual }
  axle-nut: { value: 90 N·m, threads: dry, source: maker's manual }
  upper-bolt: { value: 42 N·m, threads: dry, source: maker's manual }
  lower-bolt: { value: 38 N·m, threads: thread-locked, source: maker's manual }
  toe-nut: { value: 30 N·m, threads: dry, source: maker's manual }
limits:
  toe-in: { of: link, within: 1..4 mm, reads-to: 0.5 mm, source: maker's manual }
adjustments:
  toe: { name: toe, disturbed-by: toe-nut, proved-by: toe-in, while: { adjust: { toe-nut: loose } }, each: side }
)";

constexpr const char* yard = R"(catalogue: yard
consumables:
  solvent: { name: solvent, sort: solvent, unit: mL }
  locker: { name: thread-locker, sort: thread-locker, sets-in: 20 min, full-in: 24 h, unit: drop }
tools:
  toe-bar: toe bar
settings:
  chocks: { name: chocked end, states: [free, chocked] }
  lift: { name: rear end, states: [down, jacked, on-stands], unsafe-to-leave: jacked, needs: { chocks: chocked } }
)";

constexpr const char* boots = R"(procedure: boots
title: Boots
revision: 1
uses: [parts, yard]
each: side
ends-with: { chocks: chocked }
steps:
  - section: On the ground
    once: true
  - set: { chocks: chocked }
  - slacken: wheel-nut
  - do: up
  - section: Open
  - remove: wheel-nut
  - remove: wheel
  - remove: [axle-nut, lower-bolt]
  - move: { knuckle: swung }
  - remove: shaft
  - remove: large-clip
  - remove: small-clip
  - remove: boot
  - ask: Is the joint good?
    if-not:
      - record: Grease
  - renew: boot
  - fit: boot
  - fit: large-clip
  - fit: small-clip
  - fit: shaft
  - move: { knuckle: on }
  - clean: lower-bolt
    with: solvent
  - apply: locker
    to: lower-bolt
    amount: 2 drops
  - fit: lower-bolt
  - torque: lower-bolt
  - fit: axle-nut
  - torque: axle-nut
  - fit: wheel
  - fit: wheel-nut
  - snug: wheel-nut
  - section: Down
    once: true
  - do: down
  - torque: wheel-nut
)";

constexpr const char* toe = R"(procedure: toe
title: Toe
revision: 1
uses: [parts, yard]
each: side
starts-with: { chocks: chocked }
steps:
  - measure: toe-in
    tool: toe-bar
  - decide: toe-in
    if-not:
      - slacken: toe-nut
        id: loosen
      - adjust: toe
      - torque: toe-nut
      - measure: toe-in
        tool: toe-bar
      - again:
          from: loosen
          until: toe-in
          at-most: 3
          else:
            - Hang a tag on it.
            - stop: The toe cannot be set.
  - section: Finish
    once: true
  - set: { chocks: free }
)";

constexpr const char* up = R"(procedure: up
title: Up
revision: 1
uses: [yard]
starts-with: { chocks: chocked }
ends-with: { chocks: chocked, lift: on-stands }
steps:
  - set: { lift: jacked }
  - set: { lift: on-stands }
)";

constexpr const char* down = R"(procedure: down
title: Down
revision: 1
uses: [yard]
starts-with: { chocks: chocked, lift: on-stands }
ends-with: { chocks: chocked }
steps:
  - set: { lift: jacked }
  - set: { lift: down }
)";

Files shop() {
    return {{"shop.yaml", "shop: yard\nname: Yard\nwrenches: { w: { name: wrench, range: 10..100 N·m, accuracy: 4 %, "
                          "calibrated-until: 2027-03-01 } }\n"},
            {"catalogue/parts.yaml", parts},
            {"catalogue/yard.yaml", yard},
            {"vehicles/trike.yaml", "vehicle: trike\nname: Trike\n"},
            {"work/boots.yaml", boots},
            {"work/toe.yaml", toe},
            {"work/up.yaml", up},
            {"work/down.yaml", down}};
}

struct Change {
    std::string file;
    std::string from;
    std::string to;
};

Files with(const std::vector<Change>& changes) {
    Files files = shop();
    for (const Change& each : changes) {
        std::string& text = files.at(each.file);
        const std::size_t at = text.find(each.from);
        REQUIRE_MESSAGE(at != std::string::npos, each.from);
        text.replace(at, each.from.size(), each.to);
    }
    return files;
}

void check(const std::vector<Change>& mistake, const std::vector<std::string>& expected) {
    const std::vector<std::string> given = cases::helps(with(mistake));
    CHECK_MESSAGE(given == expected, fmt::format("given:\n  {}", fmt::join(given, "\n  ")));
}

constexpr const char* of_boots = "work/boots.yaml";
constexpr const char* of_toe = "work/toe.yaml";

} // namespace

TEST_CASE("the shop is right without a mistake") {
    CHECK(cases::helps(shop()).empty());
}

TEST_CASE("a part that was forgotten is fitted, and what holds it stays where it stands") {
    check({{of_boots, "  - fit: shaft\n", ""}},
          {"shut-in: add `- fit: shaft` before this step: once the knuckle is on, it cannot be reached"});
    check({{of_boots, "  - fit: boot\n", ""}}, {"holds-nothing: add `- fit: boot` before this step"});
}

TEST_CASE("of two steps that were changed about, one is moved") {
    check({{of_boots, "  - renew: boot\n  - fit: boot\n", "  - fit: boot\n  - renew: boot\n"}},
          {"wrong-place: move `- fit: boot` after this step"});
    check(
        {{of_toe, "      - adjust: toe\n      - torque: toe-nut\n", "      - torque: toe-nut\n      - adjust: toe\n"}},
        {"outside-while: move `- torque: toe-nut` after this step"});
    const std::string clean = "  - clean: lower-bolt\n    with: solvent\n";
    const std::string apply = "  - apply: locker\n    to: lower-bolt\n    amount: 2 drops\n";
    check({{of_boots, clean + apply, apply + clean}},
          {"locker-on-dirty-thread: move `- clean: lower-bolt` before this step"});
    check({{of_toe, "            - Hang a tag on it.\n            - stop: The toe cannot be set.\n",
            "            - stop: The toe cannot be set.\n            - Hang a tag on it.\n"}},
          {"unreachable: move it before the `stop`, or leave it out"});
}

TEST_CASE("a step with work in between is not told to be moved behind") {
    check({{of_toe, "      - torque: toe-nut\n", ""},
           {of_toe, "      - adjust: toe\n",
            "      - torque: toe-nut\n      - ask: Is it tight?\n        if-not: [ { stop: "
            "It is worn. } ]\n      - adjust: toe\n"}},
          {"outside-while: add `- slacken: toe-nut` before this step"});
}

TEST_CASE("a thread that was not cleaned is cleaned with what the shop has for it") {
    check({{of_boots, "  - clean: lower-bolt\n    with: solvent\n", ""}},
          {"locker-on-dirty-thread: add `- clean: lower-bolt` with `with: solvent` before this step"});
}

TEST_CASE("a part that is swung back further down was to be swung away") {
    check({{of_boots, "  - move: { knuckle: swung }\n", ""}},
          {"out-of-reach: add `- move: { knuckle: swung }` before this step"});
}

TEST_CASE("a reading that was taken too early is moved, although the round decides by it") {
    check(
        {{of_toe, "      - adjust: toe\n      - torque: toe-nut\n      - measure: toe-in\n        tool: toe-bar\n",
          "      - measure: toe-in\n        tool: toe-bar\n      - adjust: toe\n      - torque: toe-nut\n"}},
        {"left-owing: move `- measure: toe-in` after `- torque: toe-nut`, or say `ends-with: { toe: { owes: [prove] } "
         "}`"});
}

TEST_CASE("a forgotten `starts-with` is asked for, once") {
    check({{of_toe, "starts-with: { chocks: chocked }\n", ""}},
          {"skipped-rung: where it begins otherwise, say so: `starts-with: { chocks: chocked }`; else leave this step "
           "out"});
    check(
        {{"work/down.yaml", "starts-with: { chocks: chocked, lift: on-stands }\n", ""}},
        {"needs-unmet: add `- set: { chocks: chocked }` before this step, or say `starts-with: { chocks: chocked }`"});
}

TEST_CASE("what a procedure of the shop brings about, or begins with, is called") {
    check({{of_boots, "- do: down", "- do: up"}},
          {"contract-broken: did you mean `do: down`? it begins with the rear end on-stands"});
    check({{of_boots, "  - do: up\n", ""}},
          {"outside-while: add `- do: up` after `- slacken: wheel-nut`, in the section before this one"});
    check({{of_boots, "  - set: { chocks: chocked }\n", ""}},
          {"contract-broken: add `- set: { chocks: chocked }` before this step, or say `starts-with: { chocks: chocked "
           "}`"});
}

TEST_CASE("what belongs together leaves a question together") {
    check({{of_boots, "      - record: Grease\n  - renew: boot\n  - fit: boot\n",
            "      - record: Grease\n      - renew: boot\n      - fit: boot\n"}},
          {"ways-differ: take `- fit: boot` out of the question and put it after it, or add it where the answer is "
           "yes, below the question in an `if-so`, too; `- renew: boot` goes with it where that is done whatever the "
           "answer"});
}

TEST_CASE("a step that leaves a side out drifts once, and takes it in") {
    check(
        {{of_toe, "      - torque: toe-nut\n", "      - torque: toe-nut\n        only: { side: left }\n"}},
        {"repeat-drifts: take the `only` out of `- torque: toe-nut`, or let it take in right; or add the step for it"});
}

TEST_CASE("a section that sets what is there once is worked once") {
    check({{of_boots, "  - section: On the ground\n    once: true\n", "  - section: On the ground\n"}},
          {"skipped-rung: this section is worked side by side, and does what is done once: add `once: true` to it"});
    // The second side is told by several checks; one mistake is told.
    check({{of_boots, "  - section: Down\n    once: true\n", "  - section: Down\n"}},
          {"contract-broken: this section is worked side by side, and does what is done once: add `once: true` to it"});
}

TEST_CASE("a `starts-with` is asked for whole, where the work goes on as if it had been begun") {
    const std::string off = "procedure: off\ntitle: Off\nrevision: 1\nuses: [parts, yard]\n"
                            "ends-with: { chocks: chocked, lift: on-stands, wheel: off, wheel-nut: off }\nsteps:\n"
                            "  - set: { chocks: chocked }\n  - slacken: wheel-nut\n  - do: up\n"
                            "  - remove: wheel-nut\n  - remove: wheel\n";
    const std::string head = "procedure: on\ntitle: On\nrevision: 1 # and a remark\nuses: [parts, yard]\n";
    const std::string begins = "starts-with: { chocks: chocked, lift: on-stands, wheel: off, wheel-nut: off }\n";
    const std::string steps = "steps:\n  - fit: wheel\n  - fit: wheel-nut\n  - snug: wheel-nut\n  - do: down\n"
                              "  - torque: wheel-nut\n  - set: { chocks: free }\n";
    const std::string job = "job: 2026-001\nvehicle: trike\ndate: 2026-11-26\ndo: [";
    Files files = shop();
    files.emplace("work/off.yaml", off);
    files.emplace("work/on.yaml", head + begins + steps);
    files.emplace("jobs/2026-001.yaml", job + "off, on]\n");
    REQUIRE(cases::helps(files).empty());
    Files spoiled = files;
    spoiled["work/on.yaml"] = head + steps;
    CHECK(cases::helps(spoiled) ==
          std::vector<std::string>{"starts-unsaid: add `starts-with: { chocks: chocked, lift: on-stands, wheel: off, "
                                   "wheel-nut: off }` above `steps`"});
    const driver::Mended mended = driver::mend(spoiled, {});
    CHECK(mended.tried == 1);
    CHECK(cases::helps(mended.files).empty());
    // No procedure ends so: the steps themselves show how they take it to begin.
    spoiled.erase("work/off.yaml");
    spoiled["jobs/2026-001.yaml"] = job + "on]\n";
    CHECK(cases::helps(spoiled) ==
          std::vector<std::string>{"starts-unsaid: add `starts-with: { wheel: off, wheel-nut: off, lift: on-stands, "
                                   "chocks: chocked }` above `steps`, or, before the first of them, the steps that "
                                   "bring it there"});
    // The job lacks the procedure before it.
    files["jobs/2026-001.yaml"] = job + "on]\n";
    CHECK(cases::helps(files) == std::vector<std::string>{"contract-broken: put `off` before it in `do`"});
}

TEST_CASE("a clip that is declared like a bolt") {
    check({{"catalogue/parts.yaml", "large-clip: { name: large clip, secured-by: fit, ",
            "large-clip: { name: large clip, "}},
          {"shut-in: if it is no bolt and no nut but a clip, say `secured-by: fit` in its declaration; else say its "
           "thread and its torque, and add `- torque: large-clip` before this step"});
}

TEST_CASE("how it is written") {
    check({{of_boots, "  - remove: shaft\n", "  - remove:shaft\n    say: Pull it out.\n"}},
          {"bad-yaml: put a blank after `remove:`"});
    check({{of_toe, "          from: loosen\n          until: toe-in\n          at-most: 3\n          else:\n",
            "        from: loosen\n        until: toe-in\n        at-most: 3\n        else:\n"}},
          {"empty-value: set this line and those of `again` after it further in than `again`, all alike"});
    check({{"catalogue/parts.yaml", "1..4 mm", "1..4 cm"}},
          {"limit-in-two-sorts: write all figures of a limit in one unit, that of its gauge; did you mean `1..4 mm`?"});
    check({{"catalogue/yard.yaml", "tools:\n  toe-bar: toe bar\n", ""}},
          {"unknown-name: add `toe-bar: toe bar` to the `tools` of a catalogue (or as `{ name: …, … }`, which may also "
           "have `blows`, `flame`, "
           "`dry-brush`, `cautions`), or correct the name in all those "
           "places"});
    // As near as one letter in five to another bolt, and named again and again: it is no misspelling.
    check({{"catalogue/parts.yaml", "  upper-bolt: { name: upper bolt, thread: M10x1.25, behind: wheel, each: side }\n",
            ""}},
          {"unknown-name: add `upper-bolt: { name: upper bolt, thread: …, class: …, head: …, count: …, behind: "
           "[wheel], critical: …, needs: {…}, each: side }` "
           "to the `fasteners` in "
           "catalogue/parts.yaml (leave out what it does not have; …), or correct the name in all those places"});
    check(
        {{"catalogue/parts.yaml", "  toe-in: { of: link, within: 1..4 mm, reads-to: 0.5 mm, source: maker's manual }\n",
          "  other: { of: link, within: 1..4 mm, reads-to: 0.5 mm, source: maker's manual }\n"}},
        {"unknown-name: add `toe-in: { name: toe in, of: …, new: …, minimum: …, reads-to: …, uncertainty: …, source: … "
         "}` to the `limits` in "
         "catalogue/parts.yaml (or with `maximum` or `within` in place of `minimum`; leave out what it does not have; "
         "…), or correct the name in all those "
         "places"});
    check({{"catalogue/yard.yaml", "  solvent: { name: solvent, sort: solvent, unit: mL }\n", ""}},
          {"unknown-name: add `solvent: { name: solvent, sort: solvent, flammable: …, unsafe-on: […], unit: … }` to "
           "the `consumables` in "
           "catalogue/yard.yaml (leave out what it does not have; …), or correct the name"});
    check({{"catalogue/yard.yaml",
            "  lift: { name: rear end, states: [down, jacked, on-stands], unsafe-to-leave: jacked, "
            "needs: { chocks: chocked } }\n",
            ""}},
          {"unknown-name: add `lift: { name: lift, states: [down, jacked, on-stands] }` to the `settings` in "
           "catalogue/yard.yaml (a ladder that begins with the state in which it rests; leave out what it does not "
           "have; …), or correct the name in all "
           "those "
           "places"});
}

TEST_CASE("a limit's figure in another unit than the others") {
    constexpr const char* of_parts = "catalogue/parts.yaml";
    const std::string good = "within: 1..4 mm, reads-to: 0.5 mm";
    const std::string one_unit = "limit-in-two-sorts: write all figures of a limit in one unit, that of its gauge";
    const std::string one_sort = "limit-in-two-sorts: write all figures of a limit in units of one sort";
    // What no card shows takes no side.
    check({{of_parts, good, "within: 1..4 cm, reads-to: 0.5 mm, uncertainty: 0.1 mm"}},
          {one_unit + "; did you mean `1..4 mm`?"});
    check({{of_parts, good, "new: 1.5 mm, maximum: 4.0 cm, reads-to: 0.5 mm, uncertainty: 0.1 mm"}},
          {one_unit + "; did you mean `4.0 mm`?"});
    check({{of_parts, good, "within: 1..4 mm, reads-to: 0.5 cm"}}, {one_unit + "; did you mean `0.5 mm`?"});
    // As large as the other: it was meant so, and the number changes with the unit.
    check({{of_parts, good, "new: 35.0 mm, maximum: 4.0 cm"}}, {one_unit + "; did you mean `40 mm`?"});
    check({{of_parts, good, "within: 1..4 mL, reads-to: 0.5 mm"}}, {one_sort + "; did you mean `1..4 mm`?"});
    check({{of_parts, good, "within: 1..4 mm, reads-to: 0.5 mL"}}, {one_sort + "; did you mean `0.5 mm`?"});
    // An inch is no slip of a millimetre.
    check({{of_parts, good, "new: 1.5 mm, maximum: 0.2 in"}}, {one_unit});
}

TEST_CASE("the entry that is offered is as what is done with it") {
    const std::string rest =
        " in catalogue/parts.yaml (leave out what it does not have; …), or correct the name in all those places";
    const std::string cuff = "  cuff: { name: cuff, held-by: [band], each: side }\n  link: ";
    const std::string beside = "  link: ";
    constexpr const char* of_parts = "catalogue/parts.yaml";
    const std::string shut = "  - fit: shaft\n";
    const Change held{of_parts, beside, cuff};
    const std::string steps = "  - remove: band\n  - remove: cuff\n  - fit: cuff\n  - fit: band\n";
    check({held, {of_boots, shut, steps + shut}},
          {"unknown-name: add `band: { name: band, secured-by: fit, count: …, "
           "behind: […], reuse: …, critical: …, needs: {…}, each: side }` to the `fasteners`" +
           rest});
    const std::string pinched = "  - slacken: band\n  - remove: cuff\n  - fit: cuff\n  - torque: band\n";
    check({held, {of_boots, shut, pinched + shut}},
          {"unknown-name: add `band: { name: band, thread: …, class: …, "
           "duty: pinch, head: …, count: …, critical: …, needs: {…}, each: side }` to the "
           "`fasteners`" +
           rest});
    // What it holds stays on: it may be any bolt.
    check({held, {of_boots, shut, "  - slacken: band\n  - torque: band\n" + shut}},
          {"unknown-name: add `band: { name: band, thread: …, class: …, head: …, count: …, critical: …, needs: {…}, "
           "each: side }` "
           "to the "
           "`fasteners`" +
           rest});
    // As offered, it is right.
    CHECK(cases::helps(
              with({held,
                    {of_boots, shut, steps + shut},
                    {of_parts, "fasteners:\n", "fasteners:\n  band: { name: band, secured-by: fit, each: side }\n"}}))
              .empty());
}

TEST_CASE("a lock nut that is there once, of what is adjusted left and right") {
    check({{"catalogue/parts.yaml", "duty: adjust, each: side", "duty: adjust"}},
          {"each-unsaid: add `each: side`, or `count: 1` if there is really one"});
    CHECK(cases::helps(with({{"catalogue/parts.yaml", "duty: adjust, each: side", "duty: adjust, count: 1"}})) !=
          std::vector<std::string>{"each-unsaid: add `each: side`, or `count: 1` if there is really one"});
    // One rack's bolt disturbs the toe on both sides.
    CHECK(cases::helps(with({{"catalogue/parts.yaml", "fasteners:\n",
                              "fasteners:\n  rack-bolt: { name: rack bolt, thread: M10x1.25 }\n"},
                             {"catalogue/parts.yaml", "torques:\n",
                              "torques:\n  rack-bolt: { value: 45 N·m, threads: dry, source: maker's manual }\n"},
                             {"catalogue/parts.yaml", "disturbed-by: toe-nut", "disturbed-by: [toe-nut, rack-bolt]"}}))
              .empty());
}

TEST_CASE("a slip that a machine mends") {
    const std::vector<Change> slips{{of_toe, "slacken: toe-nut", "slacken: toenut"},
                                    {of_boots, "- remove: large-clip", "- remove: largeclip"}};
    for (const Change& slip : slips) {
        CAPTURE(slip.to);
        driver::Mended mended = driver::mend(with({slip}), {});
        CHECK(mended.tried == 0);
        CHECK(mended.files.at(slip.file) == shop().at(slip.file));
    }
    // One letter in a short word of a limit's name.
    Files gap = shop();
    for (const char* file : {"catalogue/parts.yaml", of_toe}) {
        std::string& text = gap.at(file);
        for (std::size_t at = text.find("toe-in"); at != std::string::npos; at = text.find("toe-in", at))
            text.replace(at, 6, "toe-gap");
    }
    REQUIRE(cases::helps(gap).empty());
    Files gab = gap;
    std::string& of_gab = gab.at(of_toe);
    of_gab.replace(of_gab.find("toe-gap"), 7, "toe-gab");
    CHECK(driver::mend(gab, {}).files == gap);
    // One letter, but of the side that it is on.
    const std::string in = "toe-in: { of: link";
    const std::vector<Change> side{{"catalogue/parts.yaml", in, "toe-fl: { name: toe, of: link"},
                                   {"catalogue/parts.yaml", "proved-by: toe-in", "proved-by: toe-fl"},
                                   {of_toe, "- measure: toe-in", "- measure: toe-fr"}};
    CHECK(driver::mend(with(side), {}).files.at(of_toe).find("toe-fr") != std::string::npos);
    // A name without its colon, and what it says below.
    const std::string nut = "  toe-nut: { name: toe nut, thread: M10x1.25, duty: adjust, each: side }\n";
    const std::string keys = "\n    name: toe nut\n    thread: M10x1.25\n    duty: adjust\n    each: side\n";
    const std::vector<Change> colon{{"catalogue/parts.yaml", nut, "  toe-nut" + keys}};
    check(colon, {"bad-yaml: write `toe-nut:`"});
    CHECK(cases::helps(driver::mend(with(colon), {}).files).empty());
}

TEST_CASE("one step that says two, and one of none") {
    check({{of_boots, "  - remove: large-clip\n  - remove: small-clip\n",
            "  - remove: large-clip\n    remove: small-clip\n"}},
          {"duplicate-key: start the second with a dash if it is a step of its own; else keep one of the two"});
    check(
        {{"catalogue/parts.yaml", "  link: { name: toe link, each: side }", "  link: { name: toe link, each: none }"}},
        {"unknown-axis: leave `each` out where there is one"});
}

TEST_CASE("a torque is missing where those of the others stand") {
    check({{"catalogue/parts.yaml", "  axle-nut: { value: 90 N·m, threads: dry, source: maker's manual }\n", ""}},
          {"torque-missing: add `axle-nut: { value: … N·m, threads: …, source: … }` to the `torques` in "
           "catalogue/parts.yaml; or, where vehicles differ, to those in vehicles/trike.yaml"});
}

TEST_CASE("what a machine may try leads to a shop that is right") {
    const std::vector<Change> mistakes{{of_boots, "  - fit: shaft\n", ""},
                                       {of_boots, "  - fit: boot\n", ""},
                                       {of_boots, "  - clean: lower-bolt\n    with: solvent\n", ""},
                                       {of_boots, "  - move: { knuckle: swung }\n", ""},
                                       {of_boots, "  - do: up\n", ""},
                                       {of_boots, "  - set: { chocks: chocked }\n", ""},
                                       {of_boots, "  - section: Down\n    once: true\n", "  - section: Down\n"}};
    for (const Change& mistake : mistakes) {
        CAPTURE(mistake.from);
        const driver::Mended mended = driver::mend(with({mistake}), {});
        CHECK(mended.tried == 1);
        CHECK(cases::helps(mended.files).empty());
        CHECK_MESSAGE(mended.files.at(of_boots).find(mistake.from) != std::string::npos, mended.files.at(of_boots));
    }
}
