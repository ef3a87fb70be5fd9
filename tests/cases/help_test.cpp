// What a message advises: the help is the part that a mechanic works by, and no case file holds it.
#include "cases/pipeline.h"
#include "driver/pipeline.h"
#include "messages/message.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace benchleaf;

namespace {

constexpr const char* catalogue = R"(catalogue: c
parts:
  wheel: { name: wheel, system: wheel, held-by: nut, needs: { front-end: on-stands }, each: side }
  caliper: { name: brake caliper, behind: wheel, also: { swung: [] }, circuit: brake, each: side }
  pad: { name: brake pad, inside: caliper, each: side }
  lid: lid
  filter: { name: filter, inside: lid }
  core: { name: core, inside: lid }
  chain: chain
fasteners:
  nut: { name: wheel nut, thread: M12x1.5, critical: true, each: side, while: { slacken: { front-end: down }, torque: { front-end: down } } }
  axle-nut: { name: axle nut, thread: M12x1.5 }
  cap: { name: cap, secured-by: fit, each: side }
settings:
  front-end: { name: front end, states: [down, jacked, on-stands], unsafe-to-leave: jacked }
adjustments:
  chain-tension: { name: chain tension, disturbed-by: axle-nut, proved-by: chain-slack }
circuits:
  brake: { name: front brake, sort: hydraulic, fluid: some }
consumables: { some: { name: some fluid, sort: fluid, unit: mL } }
limits:
  chain-slack: { of: chain, within: 25..35 mm, reads-to: 1 mm, source: maker's manual }
torques:
  nut: { value: 24 N·m, threads: dry, source: maker's manual }
  axle-nut: { value: 24 N·m, threads: dry, source: maker's manual }
)";

constexpr const char* head = "procedure: work\ntitle: Work\nrevision: 1\nuses: c\n";

using Files = std::map<std::string, std::string>;

// `tension`: what the catalogue says of the chain tension besides.
Files shop(const std::string& procedure, const std::string& tension = {}) {
    std::string parts = catalogue;
    const std::string_view proved = "proved-by: chain-slack";
    if (!tension.empty()) parts.insert(parts.find(proved) + proved.size(), ", " + tension);
    return {{"shop.yaml", "shop: yard\nname: Yard\nwrenches: { w: { name: wrench, range: 5..25 N·m, accuracy: 4 %, "
                          "calibrated-until: 2027-03-01 } }\n"},
            {"catalogue/c.yaml", parts},
            {"vehicles/trike.yaml", "vehicle: trike\nname: Trike\n"},
            {"work/work.yaml", head + procedure}};
}

void check(const Files& files, const std::vector<std::string>& expected) {
    const std::vector<std::string> given = cases::helps(files);
    CHECK_MESSAGE(given == expected, fmt::format("given:\n  {}", fmt::join(given, "\n  ")));
}

} // namespace

TEST_CASE("a missing step is asked for where it belongs") {
    check(shop("steps:\n  - remove: lid\n  - inspect: filter\n  - Wash the box.\n"),
          {"left-off: add `- fit: lid` after `- inspect: filter`, or say `ends-with: { lid: off }`"});
    check(shop("steps:\n  - remove: lid\n  - Wash the box.\n"),
          {"left-off: add `- fit: lid` when the work that needs it off is done, or say `ends-with: { lid: off }`"});
    check(shop("starts-with: { front-end: on-stands, wheel: off, nut: off }\nsteps:\n  - fit: [wheel, nut]\n  - snug: "
               "nut\n"
               "  - set: { front-end: jacked }\n  - set: { front-end: down }\n  - Look at it.\n"),
          {"left-loose: add `- torque: nut` after `- Look at it.`, or right after `- set: { front-end: down }` if "
           "that comes last, or, where another procedure tightens it, say `ends-with: { nut: snug }`"});
    check(shop("starts-with: { wheel: off, nut: off, front-end: on-stands }\n"
               "ends-with: { wheel: off, nut: off, front-end: on-stands }\nsteps:\n  - move: { caliper: swung }\n"
               "  - remove: pad\n  - fit: pad\n"),
          {"left-off: add `- move: { caliper: on }` after `- fit: pad`, or add `caliper: swung` to `ends-with`",
           "left-owing: add `- prime: brake` and `- level: brake` after `- fit: pad`, or add `brake: { owes: [prime, "
           "level] }` to `ends-with`"});
    check(shop("ends-with: { front-end: on-stands }\nsteps:\n  - slacken: nut\n  - set: { front-end: jacked }\n"
               "  - set: { front-end: on-stands }\n"),
          {"left-loose: add `nut: loose` to `ends-with`, or add `- torque: nut` once the front end is down again"});
}

TEST_CASE("a step that leaves a side out is asked to take it in, and a missing one is asked for on its side") {
    check(shop("each: side\nsteps:\n  - remove: cap\n  - fit: cap\n    only: { side: right }\n"),
          {"left-off: take the `only` out of `- fit: cap`, or let it take in left; or add the step for it"});
    check(shop("each: side\nsteps:\n  - remove: cap\n    only: { side: left }\n"),
          {"left-off: add `- fit: cap` with `only: { side: left }` when the work that needs it off is done, or say "
           "`ends-with: { cap: off }`"});
}

TEST_CASE("what is owed is asked for by its verbs") {
    check(shop("steps:\n  - slacken: axle-nut\n  - adjust: chain-tension\n  - torque: axle-nut\n"),
          {"left-owing: add `- measure: chain-slack` after `- torque: axle-nut`, or say `ends-with: { chain-tension: { "
           "owes: [prove] } }`"});
    check(
        shop("ends-with: { chain-tension: { owes: [prove] } }\nsteps:\n  - slacken: axle-nut\n  - torque: axle-nut\n"),
        {"contract-broken: add `- adjust: chain-tension` after `- torque: axle-nut`, or say in `ends-with` that it "
         "`owes: [adjust]`, too"});
}

TEST_CASE("what is set within a round is asked for in it, before it is read") {
    const std::string round =
        "  - again: { from: look, until: [chain-slack], at-most: 3, else: [ { torque: axle-nut }, { "
        "stop: It is worn. } ] }\n  - torque: axle-nut\n";
    check(shop("steps:\n  - slacken: axle-nut\n  - say: Look.\n    id: look\n  - measure: chain-slack\n" + round),
          {"left-owing: add `- adjust: chain-tension` before `- measure: chain-slack`, or say `ends-with: { "
           "chain-tension: "
           "{ owes: [adjust, prove] } }`"});
    // One that is left loose by a round is not told to drift as well.
    check(shop("steps:\n  - slacken: axle-nut\n    id: look\n  - adjust: chain-tension\n  - measure: chain-slack\n"
               "  - again: { from: look, until: [chain-slack], at-most: 3, else: [ { stop: It is worn. } ] }\n",
               "while: { adjust: { axle-nut: loose } }"),
          {"left-loose: add `- torque: axle-nut` after `- adjust: chain-tension`, or, where another procedure tightens "
           "it, "
           "say `ends-with: { axle-nut: loose }`"});
    // What each round needs is begun with in each.
    check(shop("steps:\n  - adjust: chain-tension\n    id: set\n  - torque: axle-nut\n  - measure: chain-slack\n"
               "  - again: { from: set, until: [chain-slack], at-most: 3, else: [ { stop: It is worn. } ] }\n",
               "while: { adjust: { axle-nut: loose } }"),
          {"outside-while: add `- slacken: axle-nut` before this step and give it the `id: set` of this one, so that "
           "each "
           "round begins with it"});
}

TEST_CASE("a step that is missing on one way is asked for there") {
    check(shop("steps:\n  - ask: Is it wet?\n    id: wet\n    if-so:\n      - remove: lid\n  - inspect: filter\n"
               "  - if-answered: { wet: yes }\n    steps:\n      - fit: lid\n"),
          {"out-of-reach: add `- remove: lid` where the answer is no, below the question in an `if-not`"});
    check(shop("steps:\n  - ask: Is it wet?\n    if-so:\n      - remove: lid\n    if-not:\n      - Note it.\n"
               "  - inspect: filter\n  - fit: lid\n"),
          {"ways-differ: add `- remove: lid` where the answer is no, under its `if-not`, too, or `- fit: lid` after "
           "`- remove: lid`, under its `if-so`, where the answer is yes"});
    check(shop("steps:\n  - ask: Is it wet?\n    if-so:\n      - remove: lid\n"),
          {"ways-differ: add `- fit: lid` after `- remove: lid`, under its `if-so`, where the answer is yes"});
    check(
        shop("ends-with: { lid: off }\nsteps:\n  - ask: Is it wet?\n    if-so:\n      - remove: lid\n"),
        {"ways-differ: add `- remove: lid` where the answer is no, below the question in an `if-not`, too, or `- fit: "
         "lid` after `- remove: lid`, under its `if-so`, where the answer is yes"});
}

TEST_CASE("what can be done on the ground alone is asked for before the jack, or in the contract") {
    const std::string off = "  - remove: [nut, wheel]\n  - fit: [wheel, nut]\n  - snug: nut\n";
    const std::string up = "  - set: { front-end: jacked }\n  - set: { front-end: on-stands }\n";
    const std::string down = "  - set: { front-end: jacked }\n  - set: { front-end: down }\n  - torque: nut\n";
    check(shop("steps:\n" + up + off + down),
          {"slackened-outside-while: add `- slacken: nut` before `- set: { front-end: "
           "jacked }`: there the front end is still down"});
    check(shop("starts-with: { front-end: on-stands }\nsteps:\n" + off + down),
          {"slackened-outside-while: where it comes loose, add `nut: loose` to `starts-with`; else slacken it first, "
           "in a "
           "step of its own, with the front end down"});
    check(shop("steps:\n  - set: { front-end: jacked }\n  - slacken: nut\n  - set: { front-end: on-stands }\n" + off +
               down),
          {"outside-while: move this step before `- set: { front-end: jacked }`: there the front end is still down"});
    check(shop("steps:\n  - slacken: nut\n" + up + off +
               "  - torque: nut\n  - set: { front-end: jacked }\n"
               "  - set: { front-end: down }\n"),
          {"outside-while: move this step after `- set: { front-end: down }`: there the front end is down"});
    // The way down is no step that was forgotten on the way up.
    check(shop("steps:\n  - slacken: nut\n  - set: { front-end: on-stands }\n" + off + down),
          {"skipped-rung: add `- set: { front-end: jacked }` before this step"});
}

TEST_CASE("a job is asked for the procedure that brings back what it leaves") {
    Files files = shop("ends-with: { front-end: on-stands }\nsteps:\n  - set: { front-end: jacked }\n"
                       "  - set: { front-end: on-stands }\n");
    files["jobs/j.yaml"] = "job: j\nvehicle: trike\ndate: 2026-11-25\ndo: work\n";
    check(files,
          {"left-set: no procedure of this shop takes it over like this: write one with `- set: { front-end: jacked }` "
           "and `- set: { front-end: down }`, and add it to the job's `do`"});
    files["work/lower.yaml"] =
        "procedure: lower\ntitle: Lower\nrevision: 1\nuses: c\nstarts-with: { front-end: on-stands }\n"
        "steps:\n  - set: { front-end: jacked }\n  - set: { front-end: down }\n";
    check(files, {"left-set: add `lower` to the job's `do`, at its end"});
    files["work/lower.yaml"].insert(files["work/lower.yaml"].find("starts-with"), "fits: { lift: none }\n");
    CHECK(cases::helps(files).front().find("`lower`") == std::string::npos); // it does not fit this vehicle
}

TEST_CASE("what stands wrong at a step is brought right before it") {
    check(shop("steps:\n  - set: { front-end: jacked }\n  - stop: It is cracked.\n"),
          {"stop-unsafe: add `- set: { front-end: down }` before this step"});
    check(shop("steps:\n  - remove: lid\n    id: off\n  - again: { from: off, until: \"Dry?\", at-most: 2, else: [ "
               "Note it. ] }\n"
               "  - fit: lid\n"),
          {"repeat-drifts: add `- fit: lid` after `- remove: lid`: each round leaves it as it found it"});
    check(shop("steps:\n  - clean: caliper\n"),
          {"out-of-reach: add `- remove: nut` and `- remove: wheel` before this step; or, if it can be cleaned "
           "past that, say in a `while` in place of `behind` "
           "which work needs the wheel away"});
}

TEST_CASE("one mistake gives one message") {
    const auto only = [](const Files& files, const std::string& name) {
        const std::vector<std::string> all = cases::helps(files);
        CHECK_MESSAGE((all.size() == 1 && all.front().starts_with(name + ": ")),
                      fmt::format("{} alone wanted, given:\n  {}", name, fmt::join(all, "\n  ")));
    };
    only(shop("steps:\n  - remvoe: axle-nut\n  - fit: axle-nut\n  - torque: axle-nut\n  - adjust: chain-tension\n"
              "  - measure: chain-slack\n"),
         "unknown-key");
    only(shop("steps:\n  - frobnicate: lid\n  - fit: lid\n"), "unknown-key");
    only(shop("steps:\n  - remove: [lid chain]\n  - fit: [lid, chain]\n"), "bad-name");
    only(shop("ends-with: { qqq: off }\nsteps:\n  - remove: lid\n"), "unknown-name");
    only(shop("steps:\n  - measure: chain-slack\n    id: look\n  - decide: look\n    if-not: [ Note it. ]\n"),
         "wrong-sort");
    Files misspelt = shop("ends-with: { front-end: on-stands }\nsteps:\n  - set: { front-end: jacked }\n"
                          "  - set: { front-end: on-stands }\n");
    std::string& states = misspelt["catalogue/c.yaml"];
    states.replace(states.find("jacked, on-stands"), 17, "jacked, on-stand");
    only(misspelt, "unknown-place");
    Files weak = shop("steps:\n  - recheck: axle-nut\n  - recheck: nut\n  - recheck: nut\n");
    std::string& wrenches = weak["shop.yaml"];
    wrenches.replace(wrenches.find("5..25"), 5, "5..15");
    weak["jobs/i.yaml"] = "job: i\nvehicle: trike\ndate: 2026-11-25\ndo: work\n";
    weak["jobs/j.yaml"] = "job: j\nvehicle: trike\ndate: 2026-11-25\ndo: work\n";
    only(weak, "no-wrench");
    CHECK(cases::helps(weak).front().ends_with("; the same at 2 more places"));
    // Another torque asks for another wrench, and is told by itself.
    std::string& torques = weak["catalogue/c.yaml"];
    torques.replace(torques.find("axle-nut: { value: 24") + 19, 2, "20");
    CHECK(cases::helps(weak).size() == 2);
}

// What was found before the first step that could not be read is certain.
TEST_CASE("what stands before an unread step is still judged") {
    check(
        shop("steps:\n  - fit: lid\n  - frobnicate: lid\n  - fit: lid\n"),
        {"wrong-place: add `- remove: lid` before this step",
         "unknown-key: the verbs are `slacken`, `remove`, `fit`, `snug`, `torque`, `recheck`, `renew`, `move`, `set`, "
         "`open`, `press-back`, `fill`, `bleed`, `prime`, `circulate`, `level`, `leak-check`, `adjust`, `clean`, "
         "`apply`, `measure`, `inspect`, `wait`, `mark`, `record`, `do`; docs/language.md lists the other keys of a "
         "step"});
}

TEST_CASE("who writes it otherwise is told how it is written here") {
    check(shop("steps:\n  - loosen: axle-nut\n  - remove: axle-nut\n  - grease: lid\n"),
          {"unknown-key: benchleaf calls this `slacken`",
           "unknown-key: benchleaf calls this `apply`: `- apply: guide-grease`, with `to: guide-pin` and `amount: 1 g` "
           "below it"});
    check(shop("steps:\n  - ask: Is it dry?\n    no:\n      - Wipe it.\n"),
          {"unknown-key: a question has `if-so` and `if-not`, each with steps below it"});
    check(shop("use: c\nsteps:\n  - inspect: lid\n"),
          {"unknown-key: did you mean `uses`? it is there already; write both under the one key"});
    check(shop("steps:\n  - inspect: [lid chain]\n"),
          {"bad-name: write `[lid, chain]` if these are several, or `lid-chain` if it is one"});
    check(shop("steps:\n  - inspect: lid\n    when:{ body: trike }\n"), {"unknown-key: put a blank after `when:`"});
    check(shop("revision: 2\nsteps:\n  - inspect: lid\n"),
          {"duplicate-key: keep one of the two, with what stands under both"});
}

TEST_CASE("a figure that is written wrong is shown as it is written right") {
    const auto torque = [](const std::string& value) {
        Files files = shop("torques: { axle-nut: { value: " + value +
                           ", threads: dry, source: a book } }\nsteps:\n  - recheck: axle-nut\n");
        return files;
    };
    check(torque("24 N·m ±10"), {"quantity-without-unit: write `±10 %`, or `±10 N·m`"});
    check(torque("24,5 N·m"), {"bad-yaml: the decimal mark is a point: write `24.5`"});
    check(torque("two N·m"), {"bad-number: write `2`"});
    check(torque("24 N·m +90°"), {"bad-stage: write `[24 N·m, +90°]`"});
    check(torque("“24 N·m, dry”"), {"bad-yaml: curly quotes are letters to YAML; write straight ones, `\"…\"`"});
    Files files = shop("steps:\n  - inspect: lid\n");
    files["catalogue/d.yaml"] =
        "catalogue: d\nfasteners: { a: { name: a, thread: M10 fine }, b: { name: b, thread: M10x3.3 } }\n";
    check(files, {"bad-thread: the coarse one is `M10x1.5`; a thread gauge shows which it is",
                  "bad-thread: the coarse one is `M10x1.5`; a thread gauge shows which it is"});
}

TEST_CASE("what is drained is drained by what opens it") {
    Files files;
    files["catalogue/oil.yaml"] =
        "catalogue: oil\n"
        "circuits: { oil: { name: engine oil, sort: engine-oil, fluid: oil-30, holds: 2 L } }\n"
        "fasteners: { plug: { name: drain plug, thread: M14x1.5, duty: seal, opens: oil, reuse: allowed } }\n"
        "consumables: { oil-30: { name: oil 30, sort: fluid, unit: L } }\n";
    files["work/oil.yaml"] =
        "procedure: oil\ntitle: Oil\nrevision: 1\nuses: oil\nsteps:\n  - fill: oil\n  - level: oil\n";
    check(files,
          {"filled-undrained: where it is drained, take out what opens it for that, such as the drain plug: `- remove: "
           "plug`; where it is only topped up, write how much in `amount`"});
}

TEST_CASE("what was slackened is topped up, and what is bled on one side is bled on the other by the same step") {
    Files files;
    files["catalogue/oil.yaml"] =
        "catalogue: oil\n"
        "circuits: { oil: { name: engine oil, sort: engine-oil, fluid: oil-30, holds: 2 L }, brake: { name: brake, "
        "sort: hydraulic, fluid: dot-4 } }\n"
        "fasteners:\n  plug: { name: drain plug, thread: M14x1.5, duty: seal, opens: oil, reuse: allowed }\n"
        "  screw: { name: bleed screw, thread: M8x1.25, duty: hollow, vents: brake, each: side, critical: true }\n"
        "torques: { plug: { value: 20 N·m, threads: dry, source: book }, screw: { value: 6 N·m, threads: dry, source: "
        "book } }\n"
        "consumables: { oil-30: { name: oil 30, sort: fluid, unit: L }, dot-4: { name: DOT 4, sort: fluid, unit: mL } "
        "}\n";
    files["shop.yaml"] = "shop: yard\nname: Yard\nwrenches: { w: { name: wrench, range: 5..25 N·m } }\n";
    const std::string head_of = "procedure: oil\ntitle: Oil\nrevision: 1\nuses: oil\nsteps:\n";
    files["work/oil.yaml"] = head_of + "  - slacken: plug\n  - torque: plug\n  - circulate: oil\n  - level: oil\n"
                                       "  - leak-check: oil\n";
    check(files, {"proof-order: add `- fill: oil` before this step, with how much is topped up in `amount`: nothing "
                  "drained it"});
    files["work/oil.yaml"] = head_of +
                             "  - slacken: screw\n  - torque: screw\n  - bleed: screw\n    only: { side: left "
                             "}\n  - torque: screw\n    only: { side: left }\n  - prime: brake\n"
                             "  - level: brake\n  - leak-check: brake\n";
    check(files, {"proof-order: take the `only` out of `- bleed: screw`, or bleed the others in a step of their own"});
}

TEST_CASE("what a section took apart it puts together, and what went on too early goes on later") {
    Files files = shop("");
    files["catalogue/d.yaml"] = "catalogue: d\nparts: { shoe: { name: shoe, held-by: [clip], each: side } }\n"
                                "fasteners: { clip: { name: clip, secured-by: fit, reuse: allowed, each: side } }\n";
    files["work/work.yaml"] =
        "procedure: work\ntitle: Work\nrevision: 1\nuses: d\neach: side\nsteps:\n  - section: Look\n"
        "  - inspect: shoe\n    id: look\n  - section: Judge\n    once: true\n  - decide: look\n    if-not:\n"
        "      - remove: [clip, shoe]\n      - renew: shoe\n      - fit: clip\n";
    check(files, {"holds-nothing: add `- fit: shoe` before this step"});
    check(shop("steps:\n  - remove: lid\n  - inspect: filter\n  - fit: lid\n  - remove: filter\n  - fit: filter\n"),
          {"out-of-reach: move `- fit: lid` behind all that is done there, or add `- remove: lid` before this step"});
}

TEST_CASE("where several names agree and the declared one does not, no machine chooses") {
    Files files = shop("steps:\n  - inspect: [clamp, lid]\n  - inspect: clamp\n");
    files["catalogue/c.yaml"] = std::string(catalogue) + "tools: { x: x }\n";
    files["catalogue/c.yaml"].replace(files["catalogue/c.yaml"].find("  lid: lid"), 10, "  clammp: clamp\n  lid: lid");
    check(files, {"unknown-name: write `clamp` here, or `clammp` in all those places; which is right, you alone know"});
    const auto ran = cases::run(files, "pages");
    for (const messages::Message& message : ran->messages.all()) CHECK(message.fixes.empty());
}

TEST_CASE("an entry that is offered names every other key that its kind may have") {
    const auto help = [](const std::string& procedure) {
        const auto ran = cases::run(shop(procedure), "pages");
        return messages::help_of(ran->messages.all().front());
    };
    const std::string pin = help("steps:\n  - inspect: [lid, lidd-ring]\n");
    CHECK_MESSAGE(pin.find("it may also have `inside`, `lubricant`, `renew-with`, `locks`, "
                           "`while`, `each`, `only-on`, `cautions`)") != std::string::npos,
                  pin);
    const std::string bolt = help("steps:\n  - torque: swing-bolt\n");
    CHECK_MESSAGE(bolt.find("it may also have `duty`, `hand`, `behind`, `inside`, `threadlock`, `lubricant`, "
                            "`opens`, `vents`, `renew-with`, `locks`, `reuse`, `pattern`, `passes`, "
                            "`recheck-after`, `while`, `each`, `only-on`, `cautions`)") != std::string::npos,
                  bolt);
}

TEST_CASE("a name that nothing has is told those that have the word in them, and what must be declared where") {
    check(shop("steps:\n  - inspect: axle\n"),
          {"unknown-name: there is `axle-nut`; write that, or add `axle: { name: axle, system: …, held-by: […], "
           "behind: […], needs: {…} }` to the `parts` in catalogue/c.yaml (leave out what it does not have; …)"});
    check(shop("steps:\n  - inspect: [lid, lidd-ring]\n"),
          {"unknown-name: add `lidd-ring: { name: lidd ring, secured-by: fit, count: …, behind: […], reuse: …, "
           "critical: …, needs: "
           "{…} }` to "
           "the `fasteners` "
           "in catalogue/c.yaml (leave out what it does not have; …), or correct the name"});
    check(shop("steps:\n  - do: wor-shop\n"),
          {"unknown-name: write the file `wor-shop.yaml` for it, or correct the name"});
    check(shop("steps:\n  - remove: chain-slack\n"),
          {"wrong-sort: write the name of an item: a part, a fastener, or another thing that work is done to"});
    Files files = shop("steps:\n  - inspect: lid\n    when: { brake: drum }\n");
    files["vehicles/trike.yaml"] += "has: { brake: durm }\n";
    check(files, {"misspelt-feature: write `durm` here, or `drum` at the vehicle; which is right, you alone know"});
}

TEST_CASE("what is narrowed without an axis, or lies behind what has one, is told where to say it") {
    Files files = shop("steps:\n  - do: caps\n    only: { side: left }\n");
    files["work/caps.yaml"] =
        "procedure: caps\ntitle: Caps\nrevision: 1\nuses: c\neach: side\nsteps:\n  - remove: cap\n"
        "  - fit: cap\n";
    check(files,
          {"impossible-only: say `each: side` at the head of this procedure: then `only` takes what is called for that "
           "alone, and sections that are not worked side by side say `once: true`"});
    files["work/work.yaml"].insert(files["work/work.yaml"].find("steps:"), "each: side\n");
    check(files, {});
    files = shop("each: side\nsteps:\n  - remove: cap\n  - inspect: inner\n  - fit: cap\n");
    files["catalogue/d.yaml"] =
        "catalogue: d\nparts: { cover: { name: cover, each: side }, inner: { name: inner, behind: [cover] } }\n";
    files["work/work.yaml"] =
        "procedure: work\ntitle: Work\nrevision: 1\nuses: d\neach: side\nsteps:\n  - remove: cover\n"
        "  - inspect: inner\n  - fit: cover\n";
    check(files, {"out-of-reach: the cover is off on one side: where the inner is on each, say `each: side` in its "
                  "declaration; else add `- remove: cover` before this step; or, if it can be inspected past that, say "
                  "in a `while` in place of `behind` which work needs the cover away"});
}

TEST_CASE("a circuit is filled up to an open plug where the catalogue says so, and proved before that goes in") {
    const std::string parts =
        "catalogue: d\ncircuits: { box-oil: { name: box oil, sort: gear-oil, holds: 1 L, fluid: some";
    const std::string rest = " } }\nfasteners: { level-plug: { name: level plug, thread: M18x1.5, opens: box-oil } }\n"
                             "torques: { level-plug: { value: 20 N·m, threads: dry, source: a book } }\n"
                             "consumables: { some: { name: some oil, sort: fluid, unit: L } }\n";
    const std::string head_of =
        "procedure: work\ntitle: Work\nrevision: 1\nuses: d\nsteps:\n  - remove: level-plug\n  - open: box-oil\n";
    Files files = shop("");
    files["catalogue/d.yaml"] = parts + rest;
    files["work/work.yaml"] = head_of +
                              "  - fill: box-oil\n  - fit: level-plug\n  - torque: level-plug\n  - level: box-oil\n"
                              "  - leak-check: box-oil\n";
    check(
        files,
        {"openers-loose: move `- fit: level-plug` and `- torque: level-plug` before this step, or, where it is filled "
         "through that hole or up to it, say `while: { fill: { level-plug: off } }` of `box-oil`"});
    files["catalogue/d.yaml"] = parts + ", while: { fill: { level-plug: off }, level: { level-plug: off } }" + rest;
    files["work/work.yaml"] =
        head_of + "  - fill: box-oil\n  - fit: level-plug\n  - torque: level-plug\n  - leak-check: box-oil\n";
    check(files, {"proof-order: add `- level: box-oil` before `- fit: level-plug`: there the level plug is still off"});
}

TEST_CASE("a circuit that is proved before all that it owes: this step is moved, and not each of them") {
    Files files = shop("");
    files["catalogue/d.yaml"] = "catalogue: d\n"
                                "settings: { engine: { name: engine, states: [stopped, running] } }\n"
                                "consumables: { some: { name: some oil, sort: fluid, unit: L } }\n"
                                "circuits: { oil: { name: oil, sort: engine-oil, holds: 1 L, fluid: some, while: { "
                                "fill: { engine: stopped }, circulate: { "
                                "engine: running }, level: { engine: stopped } } } }\n";
    const auto work = [](const std::string& before, const std::string& behind) {
        return "procedure: work\ntitle: Work\nrevision: 1\nuses: d\nsteps:\n  - open: oil\n" + before +
               "  - fill: oil\n  - set: { engine: running }\n  - circulate: oil\n  - set: { engine: stopped }\n" +
               behind + "  - leak-check: oil\n";
    };
    const std::string level = "  - level: oil\n";
    files["work/work.yaml"] = work(level, "");
    check(files, {"proof-order: move this step after `- set: { engine: stopped }`"});
    files["work/work.yaml"] = work("", level); // as it was told
    check(files, {});
    // Where one of them stands nowhere further down, the first is told, for the others wait for it.
    const std::string all = work(level, "");
    const std::string circulate = "  - circulate: oil\n";
    files["work/work.yaml"] = std::string(all).erase(all.find(circulate), circulate.size());
    check(files, {"proof-order: move `- fill: oil` before this step",
                  "proof-order: add `- circulate: oil` before `- set: { engine: stopped }`: there the engine is still "
                  "running"});
}

TEST_CASE("a job in a wrong order is told the right one, and that a procedure may say how it begins") {
    Files files = shop("steps:\n  - Look at it.\n");
    const std::string rest = "revision: 1\nuses: c\n";
    files["work/lift.yaml"] = "procedure: lift\ntitle: Lift\n" + rest +
                              "ends-with: { front-end: on-stands }\nsteps:\n  - set: { front-end: jacked }\n"
                              "  - set: { front-end: on-stands }\n";
    files["work/lower.yaml"] = "procedure: lower\ntitle: Lower\n" + rest +
                               "starts-with: { front-end: on-stands }\nsteps:\n  - set: { front-end: jacked }\n"
                               "  - set: { front-end: down }\n";
    files["jobs/j.yaml"] = "job: j\nvehicle: trike\ndate: 2026-11-25\ndo: [lift, work, lower]\n";
    check(files, {"contract-broken: in this order each finds what it asks for: `do: [lift, lower, work]`; or, where it "
                  "is worked as things stand, say so in the `starts-with` of `work`"});
    files["jobs/j.yaml"] = "job: j\nvehicle: trike\ndate: 2026-11-25\ndo: [lower, lift]\n";
    check(files, {"contract-broken: in this order each finds what it asks for: `do: [lift, lower]`"});
}

TEST_CASE("a machine puts no step behind words that may rest on it") {
    const auto fixes = [](const std::string& steps) {
        const auto ran = cases::run(shop(steps), "pages");
        std::size_t all = 0;
        for (const messages::Message& message : ran->messages.all()) all += message.fixes.size();
        return all;
    };
    const std::string around =
        "starts-with: { wheel: off, nut: off, front-end: on-stands }\nsteps:\n  - fit: wheel\n  - fit: "
        "nut\n";
    const std::string down = "  - set: { front-end: down }\n  - torque: nut\n";
    CHECK(fixes(around + "  - snug: nut\n" + down) == 1); // `- set: { front-end: jacked }` before it
    CHECK(fixes(around + "  - snug: nut\n  - Pull both stands out.\n" + down) == 0);
    CHECK(fixes(around + "  - snug: nut\n  - ask: Are both stands out?\n    if-not: [ Pull them out. ]\n" + down) == 0);
    // The words may end the section before.
    CHECK(fixes(around + "  - snug: nut\n  - Pull both stands out.\n  - section: Down\n" + down) == 0);
    CHECK(fixes(around + "  - Pull both stands out.\n  - snug: nut\n  - section: Down\n" + down) == 1);
    check(shop(around + "  - snug: nut\n  - Pull both stands out.\n" + down),
          {"skipped-rung: add `- set: { front-end: jacked }` before this step"}); // it is told all the same
}

TEST_CASE("coolant is bled behind its fill, and not once it has gone round") {
    Files files = shop("");
    files["catalogue/d.yaml"] =
        "catalogue: d\nfasteners:\n  drain: { name: drain plug, thread: M10x1, duty: seal, opens: water, needs: { "
        "engine: cold } }\n  vent: { name: vent, thread: M6x1, duty: hollow, vents: water }\n"
        "settings: { engine: { name: engine, states: [cold, running] } }\n"
        "consumables: { mix: { name: mix, sort: fluid, unit: L } }\n"
        "circuits: { water: { name: coolant, sort: coolant, holds: 1 L, fluid: mix } }\n"
        "torques:\n  drain: { value: 10 N·m, threads: dry, source: a book }\n"
        "  vent: { value: 6 N·m, threads: dry, source: a book }\n";
    files["work/work.yaml"] =
        "procedure: work\ntitle: Work\nrevision: 1\nuses: d\nsteps:\n  - remove: drain\n  - fit: drain\n"
        "  - torque: drain\n  - fill: water\n  - set: { engine: running }\n  - circulate: water\n"
        "  - set: { engine: cold }\n  - level: water\n  - leak-check: water\n";
    check(files, {"proof-order: add `- bleed: vent` and `- torque: vent` after `- fill: water`"});
}

TEST_CASE("a pin goes in behind what was read of its nut, and a reading behind the adjusting") {
    Files files = shop("");
    files["catalogue/d.yaml"] =
        "catalogue: d\nparts:\n  cap: { name: cap }\n  hub: { name: hub, held-by: nut }\n  shoe: { name: shoe }\n"
        "  drum: { name: drum }\n"
        "fasteners:\n  nut: { name: hub nut, thread: M16x1.5, duty: adjust, behind: cap, critical: true }\n"
        "  pin: { name: split pin, secured-by: fit, locks: nut, behind: cap, critical: true, reuse: never }\n"
        "limits:\n  play: { name: play, of: hub, maximum: 0.1 mm, reads-to: 0.01 mm, source: a book }\n"
        "  drag: { name: drag, of: gap, within: 5..15 N, reads-to: 1 N, source: a book }\n"
        "adjustments: { gap: { name: gap, disturbed-by: shoe, proved-by: drag, while: { adjust: { drum: on } } } }\n"
        "torques: { nut: { value: [20 N·m, next-slot], threads: dry, source: a book } }\n";
    const std::string head_of = "procedure: work\ntitle: Work\nrevision: 1\nuses: d\nsteps:\n";
    files["work/work.yaml"] = head_of + "  - remove: [cap, pin]\n  - slacken: nut\n  - torque: nut\n  - measure: play\n"
                                        "  - decide: play\n    if-not: [ { stop: It is loose. } ]\n  - fit: cap\n";
    check(files, {"shut-in: add `- fit: pin` after `- decide: play`: once the cap is on, it cannot be reached"});
    files["work/work.yaml"] = head_of + "  - remove: drum\n  - remove: shoe\n  - fit: shoe\n  - fit: drum\n";
    check(files,
          {"left-owing: add `- adjust: gap` and `- measure: drag` after `- fit: drum`, or say `ends-with: { gap: { "
           "owes: [adjust, prove] } }`"});
}

TEST_CASE("what may be tightened on the ground alone is seated before that") {
    check(shop("starts-with: { front-end: on-stands, wheel: off, nut: off }\nsteps:\n  - set: { front-end: jacked }\n"
               "  - set: { front-end: down }\n  - fit: wheel\n  - fit: nut\n  - torque: nut\n"),
          {"still-needed: move `- fit: wheel` and `- fit: nut` and add `- snug: nut` before this step"});
}

TEST_CASE("what the procedure that calls left so is mended there") {
    Files files = shop("starts-with: { front-end: on-stands, wheel: off, nut: off }\nsteps:\n  - fit: [wheel, nut]\n"
                       "  - do: lower\n  - torque: nut\n");
    files["work/lower.yaml"] =
        "procedure: lower\ntitle: Lower\nrevision: 1\nuses: c\nstarts-with: { front-end: on-stands }\n"
        "steps:\n  - set: { front-end: jacked }\n  - set: { front-end: down }\n";
    check(files, {"still-needed: add `- snug: nut` before `- do: lower`"});
}

TEST_CASE("the verb agrees with a thing of which there are several") {
    auto files = shop("steps:\n  - fit: pads\n  - remove: pads\n  - remove: glass\n");
    files["catalogue/c.yaml"] = "catalogue: c\nparts: { pads: { name: brake pads }, glass: { name: glass } }\n";
    std::vector<std::string> given;
    const auto ran = cases::run(files, "pages");
    for (const messages::Message& message : ran->messages.all())
        if (message.rule->level == messages::Level::error) given.push_back(message.text);
    const std::vector<std::string> expected{"the brake pads cannot be fitted here: they are on",
                                            "the brake pads are left off", "the glass is left off"};
    CHECK_MESSAGE(given == expected, fmt::format("given:\n  {}", fmt::join(given, "\n  ")));
}

TEST_CASE("a step that stands too late is to be moved, and not to be added again") {
    check(shop("steps:\n  - inspect: filter\n  - remove: lid\n  - fit: lid\n"),
          {"out-of-reach: move `- remove: lid` before this step"});
    // What was read too early, and what was tightened before it was in.
    check(
        shop(
            "steps:\n  - slacken: axle-nut\n  - measure: chain-slack\n  - adjust: chain-tension\n  - torque: axle-nut\n"
            "  - decide: chain-slack\n    if-not: [ { stop: It is worn. } ]\n"),
        {"read-too-early: move `- measure: chain-slack` before this step: what is tightened moves what was read"});
    check(
        shop("steps:\n  - slacken: axle-nut\n  - measure: chain-slack\n  - adjust: chain-tension\n  - torque: "
             "axle-nut\n"),
        {"left-owing: move `- measure: chain-slack` after `- torque: axle-nut`, or say `ends-with: { chain-tension: { "
         "owes: [prove] } }`"});
    check(shop("starts-with: { front-end: on-stands, wheel: off, nut: off }\nends-with: { front-end: on-stands, "
               "wheel: off, nut: off }\nsteps:\n  - move: { caliper: swung }\n  - move: { caliper: on }\n"
               "  - level: brake\n  - prime: brake\n"),
          {"proof-order: move `- prime: brake` before this step"});
    check(shop("steps:\n  - remove: axle-nut\n  - torque: axle-nut\n  - fit: axle-nut\n  - adjust: chain-tension\n"
               "  - measure: chain-slack\n"),
          {"wrong-place: move `- fit: axle-nut` before this step"});
    // Fitted before all that lies behind it.
    check(shop("steps:\n  - remove: lid\n  - remove: [filter, core]\n  - fit: lid\n  - fit: core\n  - fit: filter\n"),
          {"shut-in: move this step after `- fit: filter`"});
}

TEST_CASE("what is there for one side alone is to be widened where another step misses it") {
    check(shop("each: side\nstarts-with: { front-end: on-stands, wheel: off, nut: off }\nends-with: { front-end: "
               "on-stands, "
               "nut: loose }\nsteps:\n  - fit: wheel\n    only: { side: left }\n  - fit: nut\n"),
          {"holds-nothing: take the `only` out of `- fit: wheel`, or let it take in right; or add the step for it"});
    check(shop("steps:\n  - remove: lid\n  - fit: lid\n  - fit: lid\n"),
          {"wrong-place: leave this step out: it is fitted already; or add `- remove: lid` before this step"});
}
