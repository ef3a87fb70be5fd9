// What differs between two states of a shop is told by meaning, wherever the states come from: folders, revisions of git's, a printed PDF, a single file. And
// whatever changes nothing of the meaning changes no procedure's digest.
#include "gates/program.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <map>
#include <set>
#include <tuple>

namespace fs = std::filesystem;
using namespace benchleaf::gates;
using Json = nlohmann::json;

namespace {

const std::string demo = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";
constexpr bool slow =
    BENCHLEAF_TIME_SLACK >
    5; // under the sanitizers: of what goes the same ways as others a part; the release build does all

bool has(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

std::string copy_of_demo(const std::string& folder) {
    fs::create_directories(fs::path(folder).parent_path());
    fs::copy(demo, folder, fs::copy_options::recursive);
    return folder;
}

void change(const std::string& path, const std::string& from, const std::string& to) {
    std::string text = read(path);
    REQUIRE_MESSAGE(has(text, from), from);
    text.replace(text.find(from), from.size(), to);
    write(path, text);
}

std::map<std::string, std::string> digests(const std::string& shop) {
    std::map<std::string, std::string> all;
    for (const Json& each : Json::parse(run({"--shop", shop, "approve", "--json"}).out))
        all[each["procedure"]] = each["digest"];
    return all;
}

std::vector<std::string> differing(const std::map<std::string, std::string>& a,
                                   const std::map<std::string, std::string>& b) {
    std::vector<std::string> names;
    for (const auto& each : a)
        if (!b.contains(each.first) || b.at(each.first) != each.second) names.push_back(each.first);
    return names;
}

void git(const std::string& folder, const std::vector<std::string>& arguments) {
    std::vector<std::string> all = {
        "-C", folder, "-c", "user.name=Kim", "-c", "user.email=kim@example.invalid", "-c", "init.defaultBranch=main"};
    all.insert(all.end(), arguments.begin(), arguments.end());
    const Ran ran = run("/usr/bin/git", all, {.environment = {"HOME=" + folder, "GIT_CONFIG_NOSYSTEM=1"}});
    REQUIRE_MESSAGE(ran.status == 0, ran.err);
}

// Every card of every job in the two states, as printing gives them: `compare` has to name those that differ and no other. How many those are.
std::size_t same_cards_touched(const Json& told, const std::string& before, const std::string& after) {
    std::size_t touched = 0;
    const Json old = Json::parse(run({"--shop", before, "print", "--all", "--as", "json"}).out);
    const Json now = Json::parse(run({"--shop", after, "print", "--all", "--as", "json"}).out);
    REQUIRE(old.size() > 5);
    REQUIRE(old.size() == now.size());
    for (std::size_t at = 0; at < old.size(); ++at) {
        const std::string job = old[at]["job"];
        CAPTURE(job);
        REQUIRE(now[at]["job"] == job);
        REQUIRE(old[at]["cards"].size() == now[at]["cards"].size());
        for (std::size_t i = 0; i < old[at]["cards"].size(); ++i) {
            const Json was = old[at]["cards"][i]["head"]["digest"];
            const Json is = now[at]["cards"][i]["head"]["digest"];
            const bool named = std::any_of(told["cards"].begin(), told["cards"].end(), [&](const Json& card) {
                return card.value("job", "") == job && card["before"] == was && card["after"] == is;
            });
            CHECK(named == (was != is));
            touched += named ? 1U : 0U;
        }
    }
    return touched;
}

std::size_t count_of(const Json& told, const char* key) {
    return static_cast<std::size_t>(std::count_if(told["cards"].begin(), told["cards"].end(),
                                                  [&](const Json& card) { return card.contains(key); }));
}

} // namespace

TEST_CASE("spelling, layout, comments and the order of keys change no digest; one torque changes all that use it, and "
          "no other") {
    const std::string at = scratch("compare-digest");
    const std::string shop = copy_of_demo(at + "/shop");
    const auto before = digests(shop);
    CHECK(before.size() == 31);
    const std::string catalogue = shop + "/catalogue/disc-brake.yaml";
    const std::string procedure = shop + "/brakes/front-disc-service.yaml";
    // A comment; a quantity in another spelling; keys in another order; a name with its catalogue; a list of one without its brackets; quotes.
    change(catalogue,
           "lower-guide-bolt: { value: 22 N·m ±10 %, threads: thread-locked, source: \"demo figure, invented\" }",
           "# looked over\n  lower-guide-bolt: { source: 'demo figure, invented', threads: thread-locked, value: 22Nm "
           "±10% }");
    change(procedure,
           "  - remove: lower-guide-bolt\n    why: The boot tears if the guide pin turns with the bolt.\n    tool: "
           "thin-spanner\n",
           "  - tool: [thin-spanner]\n    why: \"The boot tears if the guide pin turns with the bolt.\"\n    remove: "
           "[disc-brake/lower-guide-bolt]\n");
    change(procedure, "title: Front disc", "\ntitle:   Front disc");
    CHECK(run({"--shop", shop, "check"}).status == 0);
    CHECK(digests(shop) == before);
    CHECK(run({"compare", demo, shop}).out == "nothing differs\n");
    CHECK(run({"--shop", shop, "check", "--approved"}).status == 0);

    // The torque is used by the one procedure that tightens the bolt.
    change(catalogue, "value: 22Nm ±10%", "value: 24 N·m ±10 %");
    CHECK(differing(before, digests(shop)) == std::vector<std::string>{"front-disc-service"});
    const Ran ran = run({"compare", demo, shop});
    CHECK(ran.status == 0);
    CHECK(
        has(ran.out, "torque disc-brake/lower-guide-bolt, “lower guide bolt”\n  value: 22 N·m ±10 % → 24 N·m ±10 %\n"));
    CHECK(has(ran.out, "procedures touched: front-disc-service\n"));
    // Its approval falls, the others stand.
    const Ran checked = run({"--shop", shop, "check", "--approved"});
    CHECK(checked.status == 1);
    CHECK(has(checked.err, "nobody has approved `front-disc-service` as it stands"));
    CHECK(has(checked.err, "AB approved it on"));
    CHECK(has(checked.out, ": 1 error\n"));

    // The order in which a card shows things is meant.
    const auto unordered = digests(shop);
    change(procedure, "starts-with: { rear-held: held, front-end: on-stands,",
           "starts-with: { front-end: on-stands, rear-held: held,");
    change(procedure, "        lower-guide-bolt: 44.5 % 86.5 % from 57 % 93 %\n", "");
    change(procedure, "        upper-guide-bolt: 43.8 % 13.4 % from 29 % 10 %\n",
           "        upper-guide-bolt: 43.8 % 13.4 % from 29 % 10 %\n        lower-guide-bolt: 44.5 % 86.5 % from 57 % "
           "93 %\n");
    CHECK(differing(unordered, digests(shop)) == std::vector<std::string>{"front-disc-service"});
    const Ran ordered = run({"compare", demo, shop});
    CHECK(has(ordered.out, "  starts-with: rear held still: held, front end: on-stands"));
    CHECK(has(ordered.out, "picture, marks: lower guide bolt: "));

    // What a picture shows counts, too.
    const auto so_far = digests(shop);
    std::string picture = read(shop + "/pictures/caliper.png");
    write(shop + "/pictures/caliper.png", read(BENCHLEAF_SOURCE_DIR "/docs/cover-sheet.png"));
    CHECK(differing(so_far, digests(shop)) == std::vector<std::string>{"front-disc-service"});
    CHECK(has(run({"compare", demo, shop}).out, "picture pictures/caliper.png"));
    // A caution of a part counts for whatever names the part.
    write(shop + "/pictures/caliper.png", picture);
    change(shop + "/catalogue/workshop.yaml", "hazard: ", "hazard: Mind. ");
    CHECK(differing(so_far, digests(shop)).size() > 3);
}

TEST_CASE("one torque in a catalogue: each card that it touches is named, the approvals of its procedures fall, the "
          "others stand") {
    const std::string at = scratch("compare-catalogue");
    const std::string shop = copy_of_demo(at + "/shop");
    change(shop + "/catalogue/engine.yaml", "drain-plug:     { value: 25 N·m", "drain-plug:     { value: 27 N·m");
    REQUIRE(run({"--shop", shop, "check"}).status == 0);
    const Json told = Json::parse(run({"compare", "--json", demo, shop}).out);
    CHECK(same_cards_touched(told, demo, shop) > 0);
    CHECK(count_of(told, "vehicle") > 0);
    std::set<std::string> touched;
    for (const Json& each : told["procedures"]) touched.insert(each["name"]);
    CHECK(touched.contains("engine-oil-change"));
    for (const Json& card : told["cards"]) CHECK((card.contains("cover") || touched.contains(card["procedure"])));
    std::size_t fallen = 0;
    for (const Json& each : Json::parse(run({"--shop", shop, "approve", "--json"}).out)) {
        CHECK((each["state"] == "not approved") == touched.contains(each["procedure"]));
        fallen += each["state"] == "not approved" ? 1U : 0U;
    }
    CHECK(fallen == touched.size());
}

TEST_CASE("a vehicle's own torque touches the cards for that vehicle, and no approval") {
    const std::string at = scratch("compare-vehicle");
    const std::string shop = copy_of_demo(at + "/shop");
    change(shop + "/vehicles/ostrel-haul-300.yaml", "lower-guide-bolt: { value: 23 N·m",
           "lower-guide-bolt: { value: 25 N·m");
    const Json told = Json::parse(run({"compare", "--json", demo, shop}).out);
    CHECK(told["procedures"].empty());
    CHECK(told["things"].size() == 1);
    CHECK(told["things"][0]["kind"] == "vehicle");
    CHECK(told["things"][0]["differences"][0]["says"] ==
          "torques, lower guide bolt, value: 23 N·m ±10 % → 25 N·m ±10 %");
    CHECK(same_cards_touched(told, demo, shop) == 2);
    CHECK(count_of(told, "job") == 4);
    CHECK(count_of(told, "cover") == 2); // each job's cover sheet lists its torques
    CHECK(count_of(told, "vehicle") == 1);
    CHECK(run({"--shop", shop, "check", "--approved"}).status == 0);
}

TEST_CASE("steps that were moved, added, removed and changed are told as that, by their numbers") {
    const std::string at = scratch("compare-steps");
    const std::string shop = copy_of_demo(at + "/shop");
    const std::string procedure = shop + "/brakes/front-disc-service.yaml";
    const std::string bag = "  - say: Bag the paper at once.\n    tool: dust-bag\n    why: Dust that dries on the "
                            "floor is breathed after all.\n";
    change(procedure, bag, "");
    change(procedure, "  - measure: disc-thickness\n", bag + "  - measure: disc-thickness\n");
    change(procedure, "say: Turn the disc under the dial gauge.\n",
           "say: Turn the disc under the dial gauge.\n    caution: { level: caution, hazard: The rim is sharp., avoid: "
           "Wear gloves. }\n");
    change(procedure, "  - Take the clamp nuts off.\n", "");
    change(procedure, "  - move: { caliper: swung }\n",
           "  - Lay a rag under the caliper.\n  - move: { caliper: swung }\n");
    REQUIRE(run({"--shop", shop, "check"}).status == 0);
    const Ran ran = run({"compare", demo, shop});
    for (const char* line : {"step 3 moved before step 5: “Bag the paper at once.”",
                             "step 7 (measure disc runout), caution added: level: caution, hazard: “The rim is "
                             "sharp.”, avoid: “Wear gloves.”",
                             "step 8 removed: “Take the clamp nuts off.”", "added: “Lay a rag under the caliper.”"})
        CHECK_MESSAGE(has(ran.out, line), ran.out);
    // And nothing else of the steps.
    CHECK(std::count(ran.out.begin(), ran.out.begin() + static_cast<std::ptrdiff_t>(ran.out.find("procedures touched")),
                     '\n') == 6);
}

TEST_CASE("of a step that went all is told that hung on it, and in which branch it was") {
    const std::string at = scratch("compare-lost");
    const std::string shop = copy_of_demo(at + "/shop");
    const std::string procedure = shop + "/brakes/front-disc-service.yaml";
    // A text where there was a step with a tool and a reason: the same step, which has lost them.
    change(procedure,
           "  - say: Tie the caliper to the spring.\n    why: Nothing may hang on the hose.\n    tool: caliper-tie\n",
           "  - Tie the caliper to the spring.\n");
    change(procedure, "    if-not:\n      - say: Hang a do-not-drive tag on the handlebar.\n        tool: tag\n",
           "    if-not:\n");
    const Ran ran = run({"compare", demo, shop});
    for (const char* line :
         {"(“Tie the caliper to the spring.”), why removed: “Nothing may hang on the hose.”",
          "(“Tie the caliper to the spring.”), tool removed: ",
          "step 10 removed under `if-not` of step 9: “Hang a do-not-drive tag on the handlebar.”, tool: "})
        CHECK_MESSAGE(has(ran.out, line), ran.out);
}

TEST_CASE("what a vehicle names of a catalogue touches the cards for that vehicle") {
    const std::string at = scratch("compare-vehicle-names");
    const std::string old = copy_of_demo(at + "/old");
    change(old + "/vehicles/ostrel-haul-300.yaml", "vehicle: ostrel-haul-300\n",
           "vehicle: ostrel-haul-300\ncautions: [jack-slip]\n");
    fs::copy(old, at + "/new", fs::copy_options::recursive);
    const std::string workshop = at + "/new/catalogue/workshop.yaml";
    change(workshop, "  jack-slip:", "  # looked over\n  jack-slip:");
    CHECK(run({"compare", old, at + "/new"}).out == "nothing differs\n");
    std::string text = read(workshop);
    const std::size_t hazard = text.find("hazard: ", text.find("  jack-slip:"));
    REQUIRE(hazard != std::string::npos);
    text.insert(text.find_first_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ", hazard), "Mind. ");
    write(workshop, text);
    const Json told = Json::parse(run({"compare", "--json", old, at + "/new"}).out);
    // Printed, each blank card of that vehicle: those that differ are those that are named.
    std::size_t touched = 0;
    std::size_t looked_at = 0;
    for (const auto& each : digests(old)) {
        if (slow && looked_at++ % 4 != 0) continue;
        const auto digest_in = [&](const std::string& shop) -> std::string {
            const Ran ran = run({"--shop", shop, "print", each.first, "--vehicle", "ostrel-haul-300", "--as", "json"});
            return ran.status == 0 ? Json::parse(ran.out)[0]["head"]["digest"] : "";
        };
        const std::string was = digest_in(old), is = digest_in(at + "/new");
        const bool named = std::any_of(told["cards"].begin(), told["cards"].end(), [&](const Json& card) {
            return card.value("vehicle", "") == "ostrel-haul-300" && card.value("procedure", "") == each.first;
        });
        CAPTURE(each.first);
        CHECK(named == (was != is));
        touched += named ? 1U : 0U;
    }
    CHECK(touched > (slow ? 1 : 5));
}

TEST_CASE("revisions of git's, a printed card, a file outside, a part of a shop") {
    const std::string at = scratch("compare-states");
    const std::string shop = copy_of_demo(at + "/repo/shop");
    git(at + "/repo", {"init", "-q"});
    git(at + "/repo", {"add", "."});
    git(at + "/repo", {"commit", "-qm", "one"});
    REQUIRE(run({"--shop", shop, "print", "2026-0412", "--out", at}).status == 0);
    change(shop + "/vehicles/ostrel-haul-300.yaml", "lower-guide-bolt: { value: 23 N·m",
           "lower-guide-bolt: { value: 25 N·m");
    change(shop + "/catalogue/wheels.yaml", "front-wheel-nut: { value: ", "front-wheel-nut: { value: 1");
    const std::string torque = "torques, lower guide bolt, value: 23 N·m ±10 % → 25 N·m ±10 %";
    const How inside{.folder = at + "/repo"};
    for (const std::string old : {"HEAD:shop", "HEAD:", "HEAD:./shop"}) {
        const Ran ran = run({"compare", old, "shop"}, inside);
        CHECK_MESSAGE(has(ran.out, torque), (ran.out + ran.err));
        CHECK(has(ran.out, "torque wheels/front-wheel-nut"));
    }
    // A file in the revision against that file: nothing of the other one is told.
    const Ran file =
        run({"compare", "HEAD:shop/vehicles/ostrel-haul-300.yaml", "shop/vehicles/ostrel-haul-300.yaml"}, inside);
    CHECK(has(file.out, torque));
    CHECK_FALSE(has(file.out, "torque wheels/"));
    // A copy somewhere else stands in for the one of its name.
    fs::copy(demo + "/vehicles/ostrel-haul-300.yaml", at + "/old copy.yaml");
    CHECK(has(run({"compare", at + "/old copy.yaml", shop}).out, torque));
    CHECK_FALSE(has(run({"compare", at + "/old copy.yaml", shop}).out, "torque wheels/"));
    CHECK_FALSE(
        has(run({"compare", at + "/old copy.yaml", shop}).out, "front-wheels-on")); // whatever else changed is not told
    // What is no state of the same thing is told as that.
    write(at + "/words.txt", "Look the vehicle over.\n");
    write(at + "/plain", "hi\n");
    fs::create_directories(at + "/empty");
    for (const auto& wrong :
         {std::tuple<std::string, std::string, std::string>{shop + "/catalogue/wheels.yaml",
                                                            shop + "/brakes/brake-road-test.yaml",
                                                            "a file is compared with another state of the same thing"},
          {at + "/old copy.yaml", shop + "/catalogue/wheels.yaml", "a file is compared with another state"},
          {at + "/words.txt", shop, "words.txt is no file of a shop"},
          {at + "/plain", shop, "plain is no file of a shop"},
          {shop, at + "/empty", "empty holds no files of a shop"},
          {shop + "/pictures/caliper.png", shop, "holds no files of a shop"}}) {
        const std::string& old = std::get<0>(wrong);
        const std::string& says = std::get<2>(wrong);
        const Ran ran = run({"compare", old, std::get<1>(wrong)});
        CAPTURE(old);
        CHECK(ran.status == 1);
        CHECK(ran.out.empty());
        CHECK_MESSAGE(has(ran.err, says), ran.err);
    }
    // A bundle has no shop.yaml; its cards are made as if it lay in the other shop.
    REQUIRE(run({"--shop", demo, "bundle", "front-disc-service", "--out", at + "/discs.bundle.yaml"}).status == 0);
    const Ran bundle = run({"compare", at + "/discs.bundle.yaml", shop});
    CHECK_MESSAGE(has(bundle.out, torque), (bundle.out + bundle.err));
    CHECK(has(bundle.out, "blank cards for ostrel-haul-300\n  front-disc-service"));
    CHECK_FALSE(has(bundle.out, "job "));
    CHECK(run({"compare", at + "/discs.bundle.yaml", at + "/discs.bundle.yaml"}).out == "nothing differs\n");
    // A PDF carries what it was made of: what it does not carry was not removed or added.
    const Ran pdf = run({"compare", at + "/2026-0412.pdf", shop});
    CHECK(has(pdf.out, torque));
    CHECK_FALSE(has(pdf.out, "removed\n"));
    CHECK_FALSE(has(pdf.out, ": added\n"));
    // Committed: two revisions.
    git(at + "/repo", {"commit", "-qam", "two"});
    CHECK(has(run({"compare", "HEAD~1:shop", "HEAD:shop"}, inside).out, torque));
    CHECK(run({"compare", "HEAD:shop", "shop"}, inside).out == "nothing differs\n");
    for (const auto& wrong : {std::pair<std::string, std::string>{"HEAD:nowhere", "there is no nowhere in HEAD"},
                              {"nosuch:shop", "git knows no revision nosuch"},
                              {"nowhere", "there is no nowhere"},
                              {"HEAD:shop/pictures/none.yaml", "there is no shop/pictures/none.yaml in HEAD"}}) {
        const Ran ran = run({"compare", wrong.first, "shop"}, inside);
        CHECK(ran.status == 2);
        CHECK(ran.out.empty());
        CHECK_MESSAGE(has(ran.err, wrong.second), ran.err);
    }
    // A state with errors is compared as far as it can be, and that is said.
    change(shop + "/brakes/brake-road-test.yaml", "procedure: ", "procedure ");
    const Ran broken = run({"compare", "HEAD:shop", "shop"}, inside);
    CHECK(broken.status == 1);
    CHECK(has(broken.err, "what stands there may be told in part"));
}
