// As mistakes_test.cpp, of a trailer: bearings that are set in rounds, a bracket that one answer renews, a nose on a trestle.
#include "cases/mistaken.h"
#include "driver/shop_files.h"

using namespace benchleaf;

namespace {

constexpr const char* hubs = "hubs/hub-bearings.yaml";
constexpr const char* jockey = "coupling/jockey-service.yaml";
constexpr const char* hub_things = "catalogue/hubs.yaml";

const cases::MistakenShop shop("saltmere-trailers");

void check(const std::vector<cases::MistakenShop::Change>& mistake, const std::vector<std::string>& expected) {
    shop.check(mistake, expected);
}
void without(const std::string& file, const std::string& first, const std::vector<std::string>& expected) {
    shop.without(file, first, expected);
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

TEST_CASE(
    "the entry that is missing is shown as what is done with it wants it, in the catalogue that all of them see") {
    const auto lacks = [](const std::string& file, const std::string& entry, const std::string& add,
                          const std::string& behind = {}) {
        without(file, "  " + entry + ":",
                {"unknown-name: add `" + entry + ": { name: " + add + " }` to the " + behind +
                 ", or correct the name in all those places"});
    };
    const std::string out = " (leave out what it does not have; …)";
    lacks(hub_things, "hub-seal", "hub seal, system: …, held-by: […], behind: [hub], needs: {…}, reuse: …, each: side",
          "`parts` in catalogue/hubs.yaml" + out);
    lacks(hub_things, "dust-cap", "dust cap, system: …, held-by: […], behind: [road-wheel], needs: {…}, each: side",
          "`parts` in catalogue/hubs.yaml" + out);
    lacks(hub_things, "cotter",
          "cotter, secured-by: fit, count: …, locks: castle-nut, behind: [dust-cap], reuse: …, critical: true, needs: "
          "{…}, each: "
          "side",
          "`fasteners` in catalogue/hubs.yaml" + out);
    lacks("catalogue/shelf.yaml", "blue-locker", "blue locker, sort: thread-locker, sets-in: …, full-in: …, unit: drop",
          "`consumables` in catalogue/shelf.yaml" + out);
    lacks("catalogue/shelf.yaml", "degreaser",
          "degreaser, sort: solvent, flammable: …, unsafe-on: […], unit: …, cautions: [vapour]",
          "`consumables` in catalogue/shelf.yaml" + out);
    lacks("catalogue/support.yaml", "nose", "nose, states: [on-jockey, on-trestle]",
          "`settings` in catalogue/support.yaml (a ladder that begins with the state in which it rests; leave out what "
          "it does not have; …)");
    lacks(hub_things, "journal", "journal, of: …, new: …, minimum: …, reads-to: …, uncertainty: …, source: …",
          "`limits` in catalogue/hubs.yaml (or with `maximum` or `within` in place of `minimum`; leave out what it "
          "does not have; …)");
    // The list that holds nothing any more is not told besides.
    lacks("catalogue/jockey.yaml", "wheel-bush",
          "wheel bush, of: …, new: …, minimum: …, reads-to: …, uncertainty: …, source: …",
          "`limits` in catalogue/jockey.yaml (or with `maximum` or `within` in place of `minimum`; leave out what it "
          "does not have; …)");
    without("catalogue/shelf.yaml", "  vapour:",
            {"unknown-name: add `vapour: { level: warning, hazard: …, avoid: … }` to "
             "the `cautions` in catalogue/shelf.yaml, or correct the name"});
}

TEST_CASE("what a lost first step of the rounds was shows what they tighten") {
    without(hubs, "  - slacken: castle-nut\n    id: round",
            {"unknown-step: add `- slacken: castle-nut` before `- torque: castle-nut`, with `id: round`; or give it to "
             "another step, if that is meant"});
    check({{hubs, "  - slacken: castle-nut\n    id: round\n", "  - slacken: castle-nut\n"}},
          {"unknown-step: give `- slacken: castle-nut` the `id: round`; or give it to another step, if that is meant"});
    without(hubs, "  - fit: hub\n",
            {"shut-in: add `- fit: hub` before this step: once the outer bearing is on, it cannot be reached"});
}

TEST_CASE("a name whose words stand in another order") {
    check({{jockey, "  - torque: clamp-bolt", "  - torque: bolt-clamp"}}, {"unknown-name: write `clamp-bolt`"});
    check({{"jobs/2026-001.yaml", "nose-down]", "down-nose]"}}, {"unknown-name: write `nose-down`"});
}

TEST_CASE("a round that decides by what it does not read is told once") {
    check({{hubs, "until: hub-play", "until: journal"}},
          {"decided-twice: write `until: hub-play`, which each round reads; or put the step that reads this between "
           "`from` and the `again`"});
    check({{hubs, "until: hub-play", "until: wheel-bush"}, {hubs, "uses: [hubs, ", "uses: [hubs, jockey, "}},
          {"decided-unmeasured: write `until: hub-play`, which each round reads; or add `- measure: wheel-bush` to the "
           "round"});
}

TEST_CASE("what YAML reads otherwise is shown as it should be written") {
    const auto slip = [](const std::string& file, const std::string& from, const std::string& to,
                         const std::string& expected) {
        check({{file, from, to}}, {expected});
    };
    slip(hubs, "  - again:\n", "  - again\n", "bad-yaml: write `- again:`");
    slip(hubs, "starts-with: {", "starts-with {", "bad-yaml: write `starts-with: {`");
    slip(hubs, "starts-with: {", "starts-with:{", "bad-yaml: write `starts-with: {`");
    slip(hub_things, "      slacken: { frame", "      slacken { frame", "unknown-word: write `slacken: {`");
    slip(jockey, "uses: [jockey, shelf, support]", "uses [jockey, shelf, support]",
         "bad-yaml: write `uses: [jockey, shelf, support]`, or indent the line if it belongs to the text above");
    slip(jockey, "uses: [jockey, shelf, support]", "uses: jockey, shelf, support",
         "bad-name: write `[jockey, shelf, support]`");
    slip(jockey, "decide: [wheel-look, ", "decide: wheel-look, ", "bad-name: write `[wheel-look, wheel-bush]`");
    slip(jockey, "  - fit: jockey-wheel", "  -fit: jockey-wheel", "bad-yaml: write `- fit: jockey-wheel`");
    slip(jockey, "  - fit: jockey-wheel", "   - fit: jockey-wheel",
         "bad-yaml: begin it 2 blanks in, as the dash above");
    slip(jockey, "  - torque: clamp-bolt", "  - torque; clamp-bolt",
         "verb-without-colon: write `torque: clamp-bolt`, or put the text in quotes");
    slip(hubs, "{ frame: down }", "{ frame: down", "unclosed-bracket: write `{ frame: down }`");
    slip(hubs, "{ frame: down }", "{ frame down }", "bad-yaml: write `frame: down`");
    const std::string say = "    say: Push the leg up into its clamp.\n";
    slip(jockey, say, "      say: Push the leg up into its clamp.\n",
         "bad-yaml: line it up with `fit:` above, 4 blanks in");
    slip(jockey, say, "    say:Push the leg up into its clamp.\n",
         "bad-yaml: write `say: Push the leg up into its clamp.`");
    slip(jockey, say, "    say: \"Push the leg up into its clamp.\n",
         "unclosed-quote: write `\"Push the leg up into its clamp.\"`");
    slip(jockey, say, "    say: Push the leg up: into its clamp.\n",
         "colon-in-text: put the text in quotes: `\"Push the leg up: into its clamp.\"`");
    slip(jockey, say, "\tsay: Push the leg up into its clamp.\n",
         "tab-indent: use blanks: 4 of them line it up with the line above");
    slip(jockey, "    if-not:\n      - renew", "    if-not\n      - renew",
         "swallowed-step: write `if-not:`, as the list below belongs to it");
}

TEST_CASE("grease that is forgotten goes on once all is done that made it owed, whatever was answered") {
    without(hubs, "  - apply: hub-grease",
            {"left-owing: add `- apply: hub-grease` with `to: outer-bearing` and its `amount` before `- fit: "
             "outer-bearing`, or add `outer-bearing: { owes: [lubricant] }` to `ends-with`"});
}
