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
  wheel: { name: wheel, held-by: nut, needs: { front-end: on-stands }, each: side }
  caliper: { name: brake caliper, behind: wheel, also: { swung: [] }, circuit: brake, each: side }
  pad: { name: brake pad, inside: caliper, each: side }
  lid: lid
  filter: { name: filter, inside: lid }
  chain: chain
fasteners:
  nut: { name: wheel nut, thread: M12x1.5, each: side, while: { slacken: { front-end: down }, torque: { front-end: down } } }
  axle-nut: { name: axle nut, thread: M12x1.5 }
  cap: { name: cap, secured-by: fit, each: side }
settings:
  front-end: { name: front end, states: [down, jacked, on-stands], unsafe-to-leave: jacked }
adjustments:
  chain-tension: { name: chain tension, disturbed-by: axle-nut, proved-by: chain-slack }
circuits:
  brake: { name: front brake, sort: hydraulic }
limits:
  chain-slack: { of: chain, within: 25..35 mm, reads-to: 1 mm, source: maker's manual }
torques:
  nut: { value: 24 N·m, threads: dry, source: maker's manual }
  axle-nut: { value: 24 N·m, threads: dry, source: maker's manual }
)";

constexpr const char* head = "procedure: work\ntitle: Work\nrevision: 1\nuses: c\n";

using Files = std::map<std::string, std::string>;

Files shop(const std::string& procedure) {
    return {{"shop.yaml", "shop: yard\nname: Yard\nwrenches: { w: { name: wrench, range: 5..25 N·m, accuracy: 4 %, "
                          "calibrated-until: 2027-03-01 } }\n"},
            {"catalogue/c.yaml", catalogue},
            {"vehicles/trike.yaml", "vehicle: trike\nname: Trike\n"},
            {"work/work.yaml", head + procedure}};
}

// Each message as "check: help".
std::vector<std::string> helps(const Files& files) {
    std::vector<std::string> all;
    const auto ran = cases::run(files, "pages");
    for (const messages::Message& message : ran->messages.all())
        if (message.rule->level == messages::Level::error)
            all.push_back(fmt::format("{}: {}", message.rule->name, messages::help_of(message)));
    return all;
}

void check(const Files& files, const std::vector<std::string>& expected) {
    const std::vector<std::string> given = helps(files);
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
          {"left-loose: add `- torque: nut` after `- set: { front-end: down }`"});
    check(shop("starts-with: { wheel: off, nut: off, front-end: on-stands }\n"
               "ends-with: { wheel: off, nut: off, front-end: on-stands }\nsteps:\n  - move: { caliper: swung }\n"
               "  - remove: pad\n  - fit: pad\n"),
          {"left-off: add `- move: { caliper: on }` after `- fit: pad`, or say `ends-with: { caliper: swung }`",
           "left-owing: add `- prime: brake` and `- level: brake` after `- fit: pad`, or say in `ends-with` that it is "
           "still owed"});
}

TEST_CASE("a step that leaves a side out is asked to take it in, and a missing one is asked for on its side") {
    check(shop("each: side\nsteps:\n  - remove: cap\n  - fit: cap\n    only: { side: right }\n"),
          {"left-off: let the `only` of `- fit: cap` take in left, or add the step for it"});
    check(shop("each: side\nsteps:\n  - remove: cap\n    only: { side: left }\n"),
          {"left-off: add `- fit: cap` with `only: { side: left }` when the work that needs it off is done, or say "
           "`ends-with: { cap: off }`"});
}

TEST_CASE("what is owed is asked for by its verbs") {
    check(
        shop("steps:\n  - slacken: axle-nut\n  - adjust: chain-tension\n  - torque: axle-nut\n"),
        {"left-owing: add `- measure: chain-slack` after `- torque: axle-nut`, or say in `ends-with` that it is still "
         "owed"});
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
    CHECK(helps(files).front().find("`lower`") == std::string::npos); // it does not fit this vehicle
}

TEST_CASE("what stands wrong at a step is brought right before it") {
    check(shop("steps:\n  - set: { front-end: jacked }\n  - stop: It is cracked.\n"),
          {"stop-unsafe: add `- set: { front-end: down }` before this step"});
    check(shop("steps:\n  - remove: lid\n    id: off\n  - again: { from: off, until: \"Dry?\", at-most: 2, else: [ "
               "Note it. ] }\n"
               "  - fit: lid\n"),
          {"repeat-drifts: leave it on again by the end of a round, or bring it to off before the first one"});
    check(shop("steps:\n  - clean: caliper\n"),
          {"out-of-reach: add `- remove: nut` and `- remove: wheel` before this step; or, if it can be cleaned "
           "past that, say in a `while` in place of `behind` "
           "which work needs the wheel away"});
}

TEST_CASE("one mistake gives one message") {
    const auto only = [](const Files& files, const std::string& name) {
        const std::vector<std::string> all = helps(files);
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
    CHECK(helps(weak).front().ends_with("; the same at 2 more places"));
}

// What was found before the first step that could not be read is certain.
TEST_CASE("what stands before an unread step is still judged") {
    check(shop("steps:\n  - fit: lid\n  - frobnicate: lid\n  - fit: lid\n"),
          {"wrong-place: add `- remove: lid` before this step",
           "unknown-key: docs/language.md lists the keys of a step"});
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
    check(shop("revision: 2\nsteps:\n  - inspect: lid\n"), {"duplicate-key: keep one of the two"});
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
    check(torque("“24 N·m, dry”"), {"bad-yaml: curly quotes are letters to YAML; write straight ones, `\"…\"`"});
    Files files = shop("steps:\n  - inspect: lid\n");
    files["catalogue/d.yaml"] =
        "catalogue: d\nfasteners: { a: { name: a, thread: M10 fine }, b: { name: b, thread: M10x3.3 } }\n";
    check(files, {"bad-thread: the coarse one is `M10x1.5`; a thread gauge shows which it is",
                  "bad-thread: the coarse one is `M10x1.5`; a thread gauge shows which it is"});
}

TEST_CASE("where several names agree and the declared one does not, no machine chooses") {
    Files files = shop("steps:\n  - inspect: [clamp, lid]\n  - inspect: clamp\n");
    files["catalogue/c.yaml"] = std::string(catalogue) + "tools: { x: x }\n";
    files["catalogue/c.yaml"].replace(files["catalogue/c.yaml"].find("  lid: lid"), 10, "  clammp: clamp\n  lid: lid");
    check(files, {"unknown-name: write `clamp` here, or `clammp` in all those places; which is right, you alone know"});
    const auto ran = cases::run(files, "pages");
    for (const messages::Message& message : ran->messages.all()) CHECK(message.fixes.empty());
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
}
