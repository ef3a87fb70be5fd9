// The real recorder: the life of a vehicle's pads over its visits, what it refuses, and what is left when the light goes out in the middle of it.
#include "gates/program.h"
#include "gates/small_shop.h"
#include "gates/talk.h"

#include "driver/write_files.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <map>
#include <random>
#include <sched.h>
#include <sys/mount.h>
#include <sys/resource.h>

namespace fs = std::filesystem;
using namespace benchleaf;
using namespace benchleaf::gates;

namespace {

const std::string demo = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";
constexpr bool slow = BENCHLEAF_TIME_SLACK > 5; // under the sanitizers: what goes the same ways as others is left out
const std::string out = std::string(BENCHLEAF_BINARY_DIR) + "/scratch/record-out"; // customers' pages

std::string demo_copy(const std::string& name) {
    const std::string shop = scratch(name) + "/shop";
    fs::copy(demo, shop, fs::copy_options::recursive);
    return shop;
}

// The same, but the first time that he is asked with these words.
auto once(std::map<std::string, std::string> answers, Says says) {
    return [answers = std::move(answers),
            good = somebody(std::move(says))](const std::string& asked) mutable -> std::optional<std::string> {
        for (auto each = answers.begin(); each != answers.end(); ++each)
            if (asked.find(each->first) != std::string::npos) {
                std::string answer = each->second;
                answers.erase(each);
                return answer;
            }
        return good(asked);
    };
}

// One more visit of the demo's first vehicle.
void visit(const std::string& shop, const std::string& job, const std::string& date, const std::string& meter) {
    std::string text = read(demo + "/jobs/2026-0412.yaml");
    const auto put = [&](const std::string& from, const std::string& to) {
        const std::size_t at = text.find(from);
        REQUIRE(at != std::string::npos);
        text.replace(at, from.size(), to);
    };
    put("2026-0412", job);
    put("12 460 km", meter);
    put("2026-11-25", date);
    write(shop + "/jobs/" + job + ".yaml", text);
}

std::string record_of(const std::string& shop, const std::string& name) {
    return read(shop + "/records/oh3-00417/" + name + ".yaml");
}

// What stands on the card about the linings, in one line.
std::string linings(const std::string& shop, const std::string& job) {
    const Ran ran = run({"--shop", shop, "print", job, "--as", "json"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    const std::size_t at = ran.out.find("\"lining thickness\"");
    REQUIRE(at != std::string::npos);
    std::string all = ran.out.substr(at, 1200);
    for (std::size_t blank = all.find("\u00a0"); blank != std::string::npos; blank = all.find("\u00a0"))
        all.replace(blank, 2, " ");
    return all;
}

} // namespace

TEST_CASE("the whole life of a set of pads") {
    const std::string shop = demo_copy("record-life");
    // Without records the card says so, and reckons from new.
    std::string card = linings(shop, "2026-0412");
    CHECK(has(card, "no earlier record"));
    CHECK(has(card, "keep ≥ 4.6"));

    Talk first = talk({"--shop", shop, "record", "--out", out, "2026-0412"}, somebody(read_as("6.4 mm")));
    CHECK_MESSAGE(first.ran.status == 0, first.ran.err);
    CHECK(has(first.ran.err, "within"));
    CHECK(first.ran.out == shop + "/records/oh3-00417/2026-0412.yaml\n" + out + "/2026-0412.customer.pdf\n");
    CHECK(run("/usr/bin/qpdf", {"--check", out + "/2026-0412.customer.pdf"}).status == 0);
    CHECK(sealed(record_of(shop, "2026-0412")));
    CHECK(has(record_of(shop, "2026-0412"),
              "limit: disc-brake/pad-thickness, of: disc-brake/inner-pad, at: left, read: 6.4 mm"));
    CHECK(run({"--shop", shop, "check"}).status == 0);
    // The job's own card does not change by its own record.
    CHECK(linings(shop, "2026-0412") == card);

    // Once more: no second record, and nothing typed is asked for.
    const Ran twice = run({"--shop", shop, "record", "--out", out, "2026-0412"});
    CHECK(twice.status == 1);
    CHECK(has(twice.err, "has its record"));

    // Next visit: last time's reading, and a keep figure from it. (2.1 + q·6.4)/(1 + q) with q = 1.25 · 6000 / 5 840 is 4.518…, up to 4.6.
    visit(shop, "2026-1210", "2026-12-10", "18 300 km");
    card = linings(shop, "2026-1210");
    CHECK(has(card, "last 6.4 mm (12 460 km)"));
    CHECK(has(card, "keep ≥ 4.6 mm"));
    CHECK(has(card, "worn as since 12 460 km"));
    CHECK(talk({"--shop", shop, "record", "--out", out, "2026-1210"}, somebody(read_as("5.6 mm"))).ran.status == 0);

    if (slow) return; // the further visits go the same ways
    visit(shop, "2027-0105", "2027-01-05", "24 300 km");
    CHECK(talk({"--shop", shop, "record", "--out", out, "2027-0105"}, somebody(read_as("4.1 mm"))).ran.status == 0);

    // It was just good enough (4.1 by the rule from 5.6), but the line through the three readings is steeper: `due` names the vehicle. It falls by 0.19450 mm
    // in 1 000 km, its bound (t 6.3138, one degree of freedom) is 0.40044: from 4.1 mm at 24 300 km to 2.1 mm it is 4 994 km, before the service at 30 300.
    // (Reckoned by hand, and with numpy's polyfit.)
    const Ran due = run({"--shop", shop, "due", "--at", "2027-01-10"});
    CHECK_MESSAGE(due.status == 0, due.err);
    CHECK(has(due.out, "TX 30 418"));
    CHECK(has(due.out, "before the next service"));
    CHECK(has(run({"--shop", shop, "due", "--at", "2027-01-10", "--json"}).out, "29294"));

    // The next card reckons from that line: 2.1 + 6 · 0.40044 is 4.5026, up to 4.6; expected at 30 200 km are 3.06.
    visit(shop, "2027-0130", "2027-01-30", "30 200 km");
    card = linings(shop, "2027-0130");
    CHECK(has(card, "last 4.1 mm (24 300 km)"));
    CHECK(has(card, "expected 3.1 mm"));
    CHECK(has(card, "keep ≥ 4.6 mm"));
    CHECK(has(card, "line of the last 3 readings"));

    // Worn out: the questions say no, the pads are renewed, and the record says which.
    const Talk worn = talk({"--shop", shop, "record", "--out", out, "2027-0130"}, somebody(read_as("2.6 mm")));
    CHECK_MESSAGE(worn.ran.status == 0, worn.ran.err);
    CHECK(has(worn.ran.err, "within, but not to the next service"));
    const std::string renewal = record_of(shop, "2027-0130");
    CHECK(has(renewal, "verdict: not-to-next-service"));
    CHECK(has(renewal, "of: disc-brake/inner-pad, at: left"));
    CHECK(has(renewal, "renewed:"));
    CHECK(has(renewal, "batch: FP-2210 / 0926"));

    CHECK(!has(run({"--shop", shop, "due", "--at", "2027-02-01"}).out, "before the next service")); // no longer
    const Ran told = run({"--shop", shop, "history", "TX 30 418"});
    CHECK_MESSAGE(told.status == 0, told.err);
    CHECK(has(told.out, "2.6"));
    CHECK(has(told.out, "30 200 km"));

    // The count starts anew: q = 1.25 · 6000 / 5 900, (2.1 + q·8.5)/(1 + q) is 5.681…, up to 5.7.
    visit(shop, "2027-0220", "2027-02-20", "36 100 km");
    card = linings(shop, "2027-0220");
    CHECK(has(card, "new at 30 200 km"));
    CHECK(!has(card, "last 2.6 mm"));
    CHECK(has(card, "keep ≥ 5.7 mm"));
    CHECK(run({"--shop", shop, "check"}).status == 0);
}

TEST_CASE("what is typed is looked at at once, and a way back leads to what was typed before") {
    const std::string shop = scratch("record-typed");
    small_shop(shop);
    // Each line once, the first time that something is asked in these words; then as on a good day.
    struct Line {
        std::string asked, typed, says;
        bool used = false;
    };
    std::vector<Line> lines = {
        {"lining  (", "4.4", "has no unit"},
        {"lining  (", "4.43 mm", "the gauge reads to 0.1 mm"},
        {"lining  (", "4.4 N·m", "is not a length"},
        {"lining  (", "44 m", "more than a new one has"},
        {"lining  (", "4,4 mm", "decimal point"},
        {"lining  (", "2.05 in", "the gauge reads to 0.1 mm"},
        {"lining  (", "back", ""},
        {"What the plate", "red", ""},
        {"What the plate", "rusty", ""},
        {"lining  (", "1.5 mm", "past the limit"},
        {"each", "", ""},
        {"at or above", "yes", "the answer is no"},
        {"initials", "ZZ", "may not sign"},
        {"second check", "AB", "cannot make its second check"},
        {"±10 %) > ", "31 N·m", "is not 25 N·m"},
        {"±10 %) > ", "24.5", "has no unit"},
    };
    auto good = somebody(on_the_cart());
    const Talk made = talk({"--shop", shop, "record", "--out", out, "cart-1"},
                           [&](const std::string& asked) -> std::optional<std::string> {
                               for (Line& line : lines) {
                                   if (line.used || !has(asked, line.asked)) continue;
                                   line.used = true;
                                   return line.typed;
                               }
                               return good(asked);
                           });
    CHECK_MESSAGE(made.ran.status == 0, made.ran.err);
    for (const Line& line : lines) {
        CAPTURE(line.typed);
        CHECK((line.says.empty() || has(made.ran.err, line.says)));
    }
    const std::string record = read(shop + "/records/ct-0417/cart-1.yaml");
    CHECK(has(record, "written: rusty"));
    CHECK(has(record, "read: 1.5 mm"));
    CHECK(has(record, "verdict: past"));
}

TEST_CASE("what a record is not made of") {
    const std::string shop = scratch("record-refused");
    small_shop(shop);
    struct Wrong {
        std::vector<std::pair<std::string, std::string>> boxes;
        std::string says;
    };
    const std::vector<Wrong> wrong = {
        {{{"card-1/step-4/reading-1/1", "4.4"}}, "[reading-unreadable]"},
        {{{"card-1/step-4/reading-1/1", "4.4 bar"}}, "[reading-unreadable]"},
        {{{"card-1/step-4/reading-1/1", "4.41 mm"}}, "[reading-off-gauge]"},
        {{{"card-1/step-4/reading-1/1", "440 mm"}}, "[reading-off-gauge]"},
        {{{"card-1/step-4/reading-1/1", ""}}, "[box-empty]"},
        {{{"card-1/step-4/reading-1/1", "1.4 mm"}}, "[answer-contradicts]"},
        {{{"card-1/step-5/no/1", "x"}}, "[answered-twice]"},
        {{{"card-1/step-5/yes/1", ""}}, "[box-empty]"},
        {{{"card-1/step-6/tick/1", "x"}}, "[box-astray]"},
        {{{"card-1/step-2/tick/1", ""}}, "[critical-not-ticked]"},
        {{{"card-1/step-2/torque-1/initials/1", ""}}, "[not-signed]"},
        {{{"card-1/step-2/torque-1/initials/1", "ZZ"}}, "[may-not-sign]"},
        {{{"card-1/step-2/second-check/1", "AB"}}, "[checked-own-work]"},
        {{{"card-1/step-2/torque-1/value/1", "19 N·m"}}, "[off-torque]"},
        {{{"card-1/close-out/1", ""}}, "[not-closed-out]"},
        {{{"card-1/sign-off/1", ""}}, "[not-signed]"},
        {{{"card-1/sign-off/2", "AB"}}, "[checked-own-work]"},
        {{{"card-1/sign-off/5", "2026-02-30"}}, "[no-such-time]"},
        {{{"card-1/sign-off/5", "2026-11-24"}}, "[no-such-time]"},
        {{{"card-3/sign-off/5", "2026-11-25"}}, "[box-unknown]"},
        {{{"card-1/sign-off/5", "2999-12-31"}}, "[no-such-time]"},
        // A box that is ticked takes a tick and no words, whatever they say.
        {{{"card-1/step-1/tick/1", "no"}}, "[reading-unreadable]"},
        {{{"card-1/step-1/tick/1", "yes"}}, "[reading-unreadable]"},
    };
    for (std::size_t i = 0; i < wrong.size(); i += slow ? 3 : 1) {
        const Wrong& each = wrong[i];
        CAPTURE(each.says);
        CAPTURE(each.boxes.front().first);
        write(shop + "/../answers.yaml", answers(each.boxes));
        const Ran ran = run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../answers.yaml"});
        CHECK(ran.status == 1);
        CHECK_MESSAGE(has(ran.err, each.says), ran.err);
        CHECK(std::count(ran.err.begin(), ran.err.end(), '[') - (has(ran.err, "card-1[") ? 1 : 0) == 1); // one message
        CHECK(below(shop + "/records").empty());
    }
    // What was not read is not good.
    write(shop + "/../answers.yaml", answers({{"card-1/step-4/reading-1/1", "not read: calipers broken"}}));
    CHECK(has(run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../answers.yaml"}).err,
              "[answer-contradicts]"));
    // A shop that does not say who signs: the same letters are the same mechanic.
    const std::string shop_file = read(shop + "/shop.yaml");
    write(shop + "/shop.yaml", "shop: small-works\nname: Small Works\n");
    write(shop + "/../answers.yaml", answers({{"card-1/step-2/second-check/1", "ab"}}));
    CHECK(has(run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../answers.yaml"}).err,
              "[checked-own-work]"));
    write(shop + "/shop.yaml", shop_file);
    // What was begun for another job.
    fs::create_directories(shop + "/records/ct-0417");
    write(shop + "/records/ct-0417/cart-1.draft", "answers: cart-2\nboxes:\n");
    CHECK(has(run({"--shop", shop, "record", "--out", out, "cart-1"}).err,
              "has the answers of job cart-2, not of cart-1"));
    fs::remove(shop + "/records/ct-0417/cart-1.draft");
    write(shop + "/../answers.yaml", answers());
    CHECK(run({"--shop", shop, "record", "--out", out, "nobody", "--from", shop + "/../answers.yaml"}).status == 2);
    const Ran good = run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../answers.yaml"});
    CHECK_MESSAGE(good.status == 0, good.err);
    CHECK(below(shop + "/records").size() == 1);

    // As typing it.
    const std::string typed = scratch("record-as-typed");
    small_shop(typed);
    Says says = on_the_cart();
    says.back().second = "clean";
    const Talk by_hand = talk({"--shop", typed, "record", "--out", out, "cart-1"}, somebody(says));
    CHECK_MESSAGE(by_hand.ran.status == 0, by_hand.ran.err);
    CHECK(below(typed + "/records") == below(shop + "/records"));
}

TEST_CASE("what was tightened is to be rechecked, also where the work ended in a stop behind it") {
    const std::string shop = scratch("record-recheck");
    write(shop + "/shop.yaml", "shop: small-works\nname: Small Works\nsigns: [AB, CD]\n");
    write(shop + "/catalogue/frame.yaml",
          "catalogue: frame\nparts: { wheel: { name: wheel, held-by: [nut] } }\n"
          "fasteners: { nut: { name: wheel nut, thread: M12x1.5, class: \"10\", critical: true, recheck-after: 50 km } "
          "}\n"
          "torques: { nut: { value: 90 N·m ±10 %, threads: dry, source: invented } }\n");
    write(shop + "/vehicles/cart.yaml", "vehicle: cart\nname: Cart\n");
    const std::string head = "procedure: wheel\ntitle: Wheel\nrevision: 1\nuses: frame\nsteps:\n";
    const std::string ask = "  - ask: Is the rim cracked?\n    if-so:\n      - stop: The rim is cracked.\n";
    const std::string nut = "  - slacken: nut\n  - torque: nut\n";
    write(shop + "/jobs/cart-1.yaml", "job: cart-1\nvehicle: cart\nidentity: { frame: CT-1 }\nmeter: 100 km\n"
                                      "date: 2026-11-25\ndo: [wheel]\n");
    const auto recorded = [&](const std::string& steps, const std::string& boxes) {
        write(shop + "/work/wheel.yaml", head + steps);
        write(shop + "/../answers.yaml",
              "answers: cart-1\nboxes:\n" + boxes + "  sign-off/1: AB\n  sign-off/2: CD\n  sign-off/5: 2026-11-25\n");
        fs::remove_all(shop + "/records");
        const Ran ran = run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../answers.yaml"});
        CHECK_MESSAGE(ran.status == 0, ran.err);
        return read(shop + "/records/ct-1/cart-1.yaml");
    };
    const std::string behind =
        recorded(nut + ask, "  step-1/tick/1: x\n  step-2/tick/1: x\n  step-2/torque-1/initials/1: AB\n"
                            "  step-2/second-check/1: CD\n  step-3/yes/1: x\n");
    CHECK(has(behind, "outcome: not-to-be-driven"));
    CHECK(has(behind, "recheck: \"recheck the torque after 50 km: wheel nut\""));
    const std::string before = recorded(ask + nut, "  step-1/yes/1: x\n");
    CHECK(has(before, "outcome: not-to-be-driven"));
    CHECK(!has(before, "recheck:")); // nobody came to the nut
}

TEST_CASE("work that was stopped is stopped, and nothing behind that is taken or asked for") {
    const std::string shop = scratch("record-stopped");
    small_shop(shop);
    const auto record_file = [&](const std::string& text) {
        fs::remove_all(shop + "/records");
        write(shop + "/../answers.yaml", text);
        return run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../answers.yaml"});
    };
    const auto stopped_at = [](const std::string& card, const std::string& step,
                               std::vector<std::pair<std::string, std::string>> other) {
        other.insert(other.end(), {{card + "/stopped/1", "2026-11-25"},
                                   {card + "/stopped/2", "17:00"},
                                   {card + "/stopped/3", step},
                                   {card + "/stopped/4", "on the ground"}});
        return answers(other);
    };
    const auto outcome = [&] {
        const std::string text = read(shop + "/records/ct-0417/cart-1.yaml");
        const std::size_t at = text.find("outcome: ");
        return text.substr(at, text.find('\n', at) - at);
    };
    // Nothing lacks but a tick that nothing rests on.
    Ran ran = record_file(stopped_at("card-2", "4", {{"card-2/step-4/tick/1", ""}}));
    CHECK(ran.status == 1); // for what stands behind it
    CHECK(has(ran.err, "is filled in, but the work was stopped before it"));
    const std::vector<std::pair<std::string, std::string>> from_four = {{"card-2/step-4/tick/1", ""},
                                                                        {"card-2/step-4/reading-1/1", ""},
                                                                        {"card-2/step-5/yes/1", ""},
                                                                        {"card-2/close-out/1", ""},
                                                                        {"card-2/sign-off/2", ""}};
    ran = record_file(stopped_at("card-2", "4", from_four));
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(outcome() == "outcome: stopped");
    // Where all that comes after it is there, it was gone on with.
    ran = record_file(stopped_at("card-1", "4", {}));
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(outcome() == "outcome: finished");
    // And stopped once more, on a later card.
    auto twice = from_four;
    twice.insert(twice.end(), {{"card-1/stopped/1", "2026-11-25"},
                               {"card-1/stopped/2", "12:00"},
                               {"card-1/stopped/3", "3"},
                               {"card-1/stopped/4", "on stands"}});
    ran = record_file(stopped_at("card-2", "4", twice));
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(outcome() == "outcome: stopped");
    // A step that there is not.
    CHECK(has(record_file(stopped_at("card-2", "999", from_four)).err, "names no step"));

    // Typed: from the step on nothing is asked for, and its tick is not offered.
    fs::remove_all(shop + "/records");
    bool stopped = false;
    std::string after;
    const Talk half = talk({"--shop", shop, "record", "--out", out, "cart-1"},
                           [&, good = somebody(on_the_cart())](const std::string& asked) -> std::optional<std::string> {
                               if (stopped) after += asked + "\n";
                               if (has(asked, "lining  (") && !stopped) {
                                   stopped = true;
                                   return "Stopped"; // whatever the size of its letters
                               }
                               if (has(asked, " time") || has(asked, "time ")) return "17:00";
                               if (has(asked, "state")) return "on the ground";
                               return good(asked);
                           });
    CHECK_MESSAGE(half.ran.status == 0, half.ran.err);
    CHECK(outcome() == "outcome: stopped");
    CHECK(!has(after, "lining"));
    CHECK(!has(after, "at or above"));
    CHECK(has(after, "the other steps  (1 3)"));
    CHECK(!has(after, "plate bolt at")); // a line of the close-out
    CHECK(has(after, "done by"));
    const std::string first = read(shop + "/records/ct-0417/cart-1.yaml");
    CHECK(!has(first, "step-4/tick"));
    // Gone on with: what lies behind it is asked for, the ticks too, and who did it.
    std::string rest;
    const Talk on = talk({"--shop", shop, "record", "--out", out, "cart-1"},
                         [&, good = somebody(on_the_cart())](const std::string& asked) -> std::optional<std::string> {
                             rest += asked + "\n";
                             if (has(asked, "the other steps  (1 3 4)") && asked.ends_with("not done > ")) return "yes";
                             if (has(asked, "done by") && has(asked, "initials")) return "CD";
                             if (has(asked, "econd check") && !has(asked, "step")) return "AB";
                             return good(asked);
                         });
    CHECK_MESSAGE(on.ran.status == 0, on.ran.err);
    CHECK(has(rest, "lining"));
    CHECK(has(rest, "the other steps  (1 3 4)"));
    const std::string second = read(shop + "/records/ct-0417/cart-1-2.yaml");
    CHECK(has(second, "outcome: finished"));
    CHECK(has(second, "continues: cart-1\n"));
    CHECK(has(second, "card-1/step-4/tick/1: x"));
    CHECK(has(second, "card-1/sign-off/1: CD")); // it was AB who stopped
}

TEST_CASE("initials are letters, and nobody's who says that something was not done") {
    const std::string shop = scratch("record-initials");
    small_shop(shop);
    write(shop + "/shop.yaml", "shop: small-works\nname: Small Works\n"); // it does not say who signs
    const auto check = [&](const std::string& did, const std::string& looked) {
        write(shop + "/../answers.yaml",
              answers({{"card-1/step-2/torque-1/initials/1", did}, {"card-1/step-2/second-check/1", looked}}));
        const Ran ran = run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../answers.yaml"});
        fs::remove_all(shop + "/records");
        return ran;
    };
    for (const std::string words :
         {"not done", "nein", "non", "nie", "όχι", "Later", "--", "Stop", "14", "23 N·m", "somebody", "AБ"})
        CHECK_MESSAGE(has(check(words, "CD").err, "[may-not-sign]"), words);
    CHECK(has(check("AB", "no").err, "[may-not-sign]"));
    for (const std::string same : {"ab", "A.B.", "A B", "a-b"})
        CHECK_MESSAGE(has(check("AB", same).err, "[checked-own-work]"), same);
    CHECK(has(check("ÄB", "äb").err, "[checked-own-work]"));
    CHECK(check("ÄB", "AB").status == 0);
    CHECK(check("ΑΒ", "Вс").status == 0); // Greek, Cyrillic
}

TEST_CASE("where a step has no box for who did it, who signs for the work makes no second check of it") {
    const std::string shop = scratch("record-unsigned-check");
    fs::create_directories(shop + "/work");
    fs::create_directories(shop + "/jobs");
    fs::create_directories(shop + "/vehicles");
    write(shop + "/vehicles/cart.yaml", "vehicle: cart\nname: Cart\n");
    write(shop + "/work/look.yaml", "procedure: look\ntitle: Look\nrevision: 1\nsteps:\n"
                                    "  - say: Hook the chain in.\n    second-check: true\n  - Look at it.\n");
    write(shop + "/jobs/cart-1.yaml", "job: cart-1\nvehicle: cart\nidentity: { frame: CT-1 }\nmeter: 100 km\n"
                                      "date: 2026-11-25\ndo: [look]\n");
    const auto check = [&](const std::string& looked, const std::string& more = "") {
        fs::remove_all(shop + "/records");
        write(shop + "/../answers.yaml",
              "answers: cart-1\nboxes:\n  step-1/tick/1: x\n  step-1/second-check/1: " + looked + "\n" + more +
                  "  step-2/tick/1: x\n  sign-off/1: AB\n  sign-off/2: CD\n  sign-off/5: 2026-11-25\n");
        return run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../answers.yaml"});
    };
    write(shop + "/shop.yaml", "shop: small-works\nname: Small Works\nsigns: [AB, CD]\nsecond-check: other\n");
    const Ran own = check("AB");
    CHECK_MESSAGE(has(own.err, "AB did the work of step 1, and cannot make its second check"), own.err);
    CHECK(own.status == 1);
    const Ran other = check("CD");
    CHECK_MESSAGE(other.status == 0, other.err);
    CHECK(has(read(shop + "/records/ct-1/cart-1.yaml"), "{ step: 1, by: CD }"));
    write(shop + "/shop.yaml",
          "shop: small-works\nname: Small Works\nsigns: [AB, CD]\nsecond-check: same-person-later\n");
    const Ran later = check("AB", "  step-1/second-check-time/1: \"16:40\"\n");
    CHECK_MESSAGE(later.status == 0, later.err);
    CHECK(has(read(shop + "/records/ct-1/cart-1.yaml"),
              "{ step: 1, by: AB, time: \"16:40\", independent: not independent }"));
}

TEST_CASE("who works alone looks again later, and the record says that it was not independent") {
    const std::string shop = scratch("record-alone");
    small_shop(shop);
    write(shop + "/shop.yaml", "shop: small-works\nname: Small Works\nsigns: [AB]\nsecond-check: same-person-later\n");
    const std::vector<std::pair<std::string, std::string>> alone = {{"card-1/step-2/second-check/1", "AB"},
                                                                    {"card-2/step-2/second-check/1", "AB"},
                                                                    {"card-1/sign-off/2", "AB"},
                                                                    {"card-2/sign-off/2", "AB"}};
    write(shop + "/../alone.yaml", answers(alone));
    Ran ran = run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../alone.yaml"});
    CHECK(ran.status == 1); // it has to say when
    auto later = alone;
    later.emplace_back("card-1/step-2/second-check-time/1", "16:40");
    later.emplace_back("card-2/step-2/second-check-time/1", "16:45");
    later.emplace_back("card-1/sign-off/6", "16:30"); // before he had looked: over midnight that may be
    later.emplace_back("card-2/sign-off/6", "16:50");
    write(shop + "/../alone.yaml", answers(later));
    ran = run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../alone.yaml"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK_MESSAGE(has(ran.err, "second check at was later, 16:40"), ran.err);
    CHECK(!has(ran.err, "16:45"));
    CHECK(has(read(shop + "/records/ct-0417/cart-1.yaml"),
              "{ step: 2, by: AB, time: \"16:40\", independent: not independent }"));
}

TEST_CASE("nobody signs on a day before the one on which the work was stopped") {
    const std::string shop = scratch("record-stop-day");
    small_shop(shop);
    using Boxes = std::vector<std::pair<std::string, std::string>>;
    const auto record_file = [&](const Boxes& boxes) {
        write(shop + "/../day.yaml", answers(boxes));
        return run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../day.yaml"});
    };
    const auto stopped = [&](const std::string& day) {
        return record_file({{"card-2/stopped/1", "2026-11-27"},
                            {"card-2/stopped/2", "17:00"},
                            {"card-2/stopped/3", "4"},
                            {"card-2/stopped/4", "on the ground"},
                            {"card-2/step-4/tick/1", ""},
                            {"card-2/step-4/reading-1/1", ""},
                            {"card-2/step-5/yes/1", ""},
                            {"card-2/close-out/1", ""},
                            {"card-2/sign-off/2", ""},
                            {"card-2/sign-off/5", day}});
    };
    const std::string told = " is before the day on which the work was stopped, 2026-11-27";
    const Ran before = stopped("2026-11-26");
    CHECK_MESSAGE(has(before.err, "2026-11-26" + told), before.err);
    CHECK(before.status == 1);
    const Ran same = stopped("2026-11-27");
    CHECK_MESSAGE(same.status == 0, same.err);
    // And gone on with: card 1 was signed before.
    const Ran earlier = record_file({{"card-2/sign-off/5", "2026-11-26"}});
    CHECK_MESSAGE(has(earlier.err, "2026-11-26" + told), earlier.err);
    CHECK(earlier.status == 1);
    const Ran later = record_file({{"card-2/sign-off/5", "2026-11-28"}});
    CHECK_MESSAGE(later.status == 0, later.err);
    CHECK(has(read(shop + "/records/ct-0417/cart-1-2.yaml"), "continues: cart-1\n"));
}

TEST_CASE("a stop that somebody wrote is told where all that comes after it is filled in") {
    const std::string shop = scratch("record-stop-told");
    small_shop(shop);
    write(shop + "/../told.yaml", answers({{"card-1/stopped/4", "lever goes to the grip"}}));
    const Ran ran = run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../told.yaml"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK_MESSAGE(has(ran.err, "card 1 says that the work was stopped there (lever goes to the grip)"), ran.err);
}

TEST_CASE("work that was stopped is gone on with, and a mistake is put right by a new record") {
    const std::string shop = scratch("record-stopped");
    small_shop(shop);
    // Card 1 up to its second step; then the tag.
    std::vector<std::pair<std::string, std::string>> boxes = {{"card-1/stopped/1", "2026-11-25"},
                                                              {"card-1/stopped/2", "17:30"},
                                                              {"card-1/stopped/3", "3"},
                                                              {"card-1/stopped/4", "on the ground"}};
    for (const std::string box : {"step-3/tick/1", "step-3/note/1", "step-4/tick/1", "step-4/reading-1/1",
                                  "step-5/yes/1", "close-out/1", "sign-off/2"})
        boxes.emplace_back("card-1/" + box, "");
    std::string text = answers(boxes);
    std::string kept;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = text.find('\n', at);
        if (!has(text.substr(at, end - at), "card-2/")) kept += text.substr(at, end - at + 1);
        at = end + 1;
    }
    write(shop + "/../stopped.yaml", kept);
    Ran ran = run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../stopped.yaml"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(has(ran.err, "not to be driven"));
    const std::string first = read(shop + "/records/ct-0417/cart-1.yaml");
    CHECK(has(first, "outcome: stopped"));
    CHECK(has(first, "stopped: { card: 1, by: AB, date: 2026-11-25, time: \"17:30\", step: 3, state: on the ground }"));

    // The rest: what was answered before is not asked again.
    const Talk rest = talk({"--shop", shop, "record", "--out", out, "cart-1"}, somebody(on_the_cart()));
    CHECK_MESSAGE(rest.ran.status == 0, rest.ran.err);
    const std::string second = read(shop + "/records/ct-0417/cart-1-2.yaml");
    CHECK(has(second, "continues: cart-1"));
    CHECK(has(second, "outcome: finished"));
    CHECK(has(second, "state: on the ground")); // that it was stopped is not forgotten
    CHECK(read(shop + "/records/ct-0417/cart-1.yaml") == first);

    ran = run({"--shop", shop, "record", "--out", out, "cart-1", "--correct"});
    CHECK(ran.status == 2);
    write(shop + "/../right.yaml",
          answers({{"card-1/step-4/reading-1/1", "5.4 mm"}, {"card-2/step-4/reading-1/1", "5.4 mm"}}));
    ran = run({"--shop", shop, "record", "--out", out, "cart-1", "--correct", "--reason", "4 and 5 were mixed up",
               "--from", shop + "/../right.yaml"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    const std::string third = read(shop + "/records/ct-0417/cart-1-3.yaml");
    CHECK(has(third, "corrects: cart-1-2"));
    CHECK(has(third, "reason: 4 and 5 were mixed up"));
    CHECK(read(shop + "/records/ct-0417/cart-1-2.yaml") == second);
    CHECK(run({"--shop", shop, "check"}).status == 0);
    ran = run({"--shop", shop, "record", "--out", out, "cart-1", "--correct", "--reason", "again", "--from",
               shop + "/../right.yaml"});
    CHECK(has(ran.err, "nothing was changed"));
    const Ran dump = run({"--shop", shop, "check", "--stop-after", "record", "--dump"});
    CHECK(has(dump.out, "5.4 mm  cart-1-3"));
    CHECK(!has(dump.out, "cart-1-2\n"));
}

TEST_CASE("what is left half-way of a correction is not gone on with as a continuation, nor the other way round") {
    const std::string shop = scratch("record-drafts");
    small_shop(shop);
    std::vector<std::pair<std::string, std::string>> boxes = {{"card-2/stopped/1", "2026-11-25"},
                                                              {"card-2/stopped/2", "17:30"},
                                                              {"card-2/stopped/3", "3"},
                                                              {"card-2/stopped/4", "on the ground"}};
    for (const std::string box : {"step-3/tick/1", "step-3/note/1", "step-4/tick/1", "step-4/reading-1/1",
                                  "step-5/yes/1", "close-out/1", "sign-off/2"})
        boxes.emplace_back("card-2/" + box, "");
    write(shop + "/../stopped.yaml", answers(boxes));
    REQUIRE(run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../stopped.yaml"}).status == 0);
    const std::string draft = shop + "/records/ct-0417/cart-1-2.draft";
    const std::vector<std::string> go_on = {"--shop", shop, "record", "--out", out, "cart-1"};
    std::vector<std::string> correct = go_on;
    correct.insert(correct.end(), {"--correct", "--reason", "mixed up"});
    const auto leaves = [](const std::string&) -> std::optional<std::string> { return "stop"; };

    CHECK(talk(go_on, leaves).ran.status == 0);
    const std::string begun = read(draft);
    CHECK(has(begun, "# continues: cart-1\n"));
    Talk other = talk(correct, leaves);
    CHECK(other.ran.status != 0);
    CHECK(other.taken.empty());
    CHECK(has(other.ran.err, draft + " has half of what goes on with cart-1, and not of a correction of cart-1; "
                                     "`benchleaf record cart-1` goes on with it, or remove the file"));
    CHECK(read(draft) == begun);

    fs::remove(draft);
    CHECK(talk(correct, leaves).ran.status == 0);
    CHECK(has(read(draft), "# corrects: cart-1\n"));
    other = talk(go_on, leaves);
    CHECK(other.ran.status != 0);
    CHECK(other.taken.empty());
    CHECK(has(other.ran.err, "`benchleaf record cart-1 --correct --reason …` goes on with it"));
    CHECK(talk(correct, leaves).ran.status == 0); // the same goes on
    // Of a program that did not write it: nobody knows which it is.
    write(draft, "# begun\nanswers: cart-1\nboxes:\n  card-1/step-3/note/1: \"clean\"\n");
    CHECK(has(talk(go_on, leaves).ran.err, "has half of the first record of job cart-1, and not of what goes on"));
    // The light went out while its first lines were written.
    write(draft, "# begun\nansw");
    CHECK(talk(go_on, leaves).ran.status == 0);
    CHECK(has(read(draft), "# continues: cart-1\nanswers: cart-1\nboxes:\n"));
    CHECK(!has(read(draft), "begun"));
    const Talk rest = talk(go_on, somebody(on_the_cart()));
    CHECK_MESSAGE(rest.ran.status == 0, rest.ran.err);
    CHECK(has(read(shop + "/records/ct-0417/cart-1-2.yaml"), "continues: cart-1\n"));
    CHECK(!fs::exists(draft));
}

TEST_CASE("a job that could be either of two vehicles is refused, and the others go on") {
    const std::string shop = scratch("record-two-vehicles");
    small_shop(shop);
    const std::string job = read(shop + "/jobs/cart-1.yaml");
    const auto put_job = [&](const std::string& name, const std::string& identity) {
        std::string text = job;
        text.replace(text.find("cart-1"), 6, name);
        text.replace(text.find("frame: CT 0417"), 14, identity);
        write(shop + "/jobs/" + name + ".yaml", text);
    };
    fs::remove(shop + "/jobs/cart-1.yaml");
    for (const char* number : {"1", "2"}) {
        const std::string name = std::string("cart-") + number;
        put_job(name, std::string("registration: AB 1, frame: F") + number);
        std::string text = answers();
        text.replace(text.find("cart-1"), 6, name);
        write(shop + "/../answers.yaml", text);
        REQUIRE(run({"--shop", shop, "record", "--out", out, name, "--from", shop + "/../answers.yaml"}).status == 0);
    }
    put_job("cart-3", "registration: AB 1");
    std::string text = answers();
    text.replace(text.find("cart-1"), 6, "cart-3");
    write(shop + "/../answers.yaml", text);
    for (const std::vector<std::string>& words : {std::vector<std::string>{"check"},
                                                  {"print", "cart-3", "--out", out},
                                                  {"record", "cart-3"},
                                                  {"record", "cart-3", "--from", shop + "/../answers.yaml"},
                                                  {"record", "cart-3", "--sheet"}}) {
        std::vector<std::string> all = {"--shop", shop};
        all.insert(all.end(), words.begin(), words.end());
        const Ran ran = run(all);
        CAPTURE(words.front());
        CHECK(ran.status == 1);
        CHECK(has(ran.err, "could be either of two vehicles that have records: the one with frame F1 and the one with "
                           "frame F2"));
        CHECK(has(ran.err, "[identity-of-two]"));
    }
    CHECK(below(shop + "/records").size() == 2);
    const Ran good = run({"--shop", shop, "print", "cart-1", "--out", out});
    CHECK_MESSAGE(good.status == 0, good.err);
    put_job("cart-3", "registration: AB 1, frame: F2");
    CHECK(run({"--shop", shop, "check"}).status == 0);
}

TEST_CASE("what was read at the same stand of the meter on an earlier day counts, on the card and in the record as in "
          "history" *
          doctest::skip(slow)) {
    const std::string shop = demo_copy("record-same-meter");
    const auto comes = [&](const std::string& job, const std::string& date, const std::string& meter,
                           const std::string& pads) {
        if (job != "2026-0412") visit(shop, job, date, meter);
        const Talk made = talk({"--shop", shop, "record", "--out", out, job}, somebody(read_as(pads)));
        CHECK_MESSAGE(made.ran.status == 0, made.ran.err);
    };
    comes("2026-0412", "2026-11-25", "12 460 km", "6.4 mm");
    comes("2026-1210", "2026-12-10", "18 300 km", "5.6 mm");
    comes("2027-0105", "2027-01-05", "24 300 km", "4.1 mm");
    visit(shop, "2027-0106", "2027-01-06", "24 300 km");
    // As in the life of a set of pads: 2.1 + 6 · 0.40044 is 4.5026, up to 4.6. The line is at 4.2121 mm there.
    const std::string card = linings(shop, "2027-0106");
    CHECK(has(card, "line of the last 3 readings"));
    CHECK(has(card, "last 4.1 mm (24 300 km)"));
    CHECK(has(card, "expected 4.2 mm"));
    CHECK(has(card, "keep ≥ 4.6 mm"));
    // Read better than the day before, so that nothing is renewed: when the limit comes is told by the same four readings as in history.
    CHECK(talk({"--shop", shop, "record", "--out", out, "2027-0106"}, somebody(read_as("4.7 mm"))).ran.status == 0);
    const std::string record = record_of(shop, "2027-0106");
    const std::size_t at = record.find("limit-at: ");
    REQUIRE(at != std::string::npos);
    const std::string limit_at = record.substr(at + 10, record.find(" km", at) - at - 10);
    CHECK(has(run({"--shop", shop, "history", "TX 30 418"}).out, "limit expected at " + limit_at + " km"));
    // Nor does its own record, or one that it corrects, change the card.
    CHECK(linings(shop, "2027-0106") == card);
    const Talk again = talk({"--shop", shop, "record", "--out", out, "2027-0106", "--correct", "--reason", "misread"},
                            somebody(read_as("4.8 mm")));
    CHECK_MESSAGE(again.ran.status == 0, again.ran.err);
    CHECK(linings(shop, "2027-0106") == card);
}

TEST_CASE("a record that somebody changed is told, and no card is made from it") {
    const std::string shop = demo_copy("record-changed");
    CHECK(talk({"--shop", shop, "record", "--out", out, "2026-0412"}, somebody(read_as("6.4 mm"))).ran.status == 0);
    visit(shop, "2026-1210", "2026-12-10", "18 300 km");
    const std::string path = shop + "/records/oh3-00417/2026-0412.yaml";
    std::string text = read(path);
    text.replace(text.find("read: 6.4"), 9, "read: 8.4");
    write(path, text);
    const Ran checked = run({"--shop", shop, "check"});
    CHECK(checked.status == 1);
    CHECK(has(checked.err, "[record-changed]"));
    const std::string cards = scratch("record-changed-out");
    CHECK(run({"--shop", shop, "print", "2026-1210", "--out", cards}).status == 1);
    CHECK(below(cards).empty());
    CHECK(run({"--shop", shop, "print", "2026-0418", "--out", cards}).status == 0); // another vehicle's
    // Cut off, as by a disk.
    write(path, text.substr(0, text.size() / 2));
    CHECK(run({"--shop", shop, "check"}).status == 1);
}

TEST_CASE("what was left open is asked for at the next visit, and stays until it is answered" * doctest::skip(slow)) {
    const std::string shop = demo_copy("record-open");
    const Talk first =
        talk({"--shop", shop, "record", "--out", out, "2026-0412"}, once({{"Also found", "left boot torn"},
                                                                          {"The customer declined", "new tyres"},
                                                                          {"front brake disc, left  good", "advise"}},
                                                                         read_as("6.4 mm")));
    CHECK_MESSAGE(first.ran.status == 0, first.ran.err);
    CHECK(!has(record_of(shop, "2026-0412"), "earlier:"));

    visit(shop, "2026-1210", "2026-12-10", "18 300 km");
    const std::string sheet = run({"--shop", shop, "record", "2026-1210", "--sheet"}).out;
    CHECK(has(sheet,
              "card-1/open/3/done:  # The customer declined: new tyres · 2026-11-25 · 12 460 km · 2026-0412 done"));
    CHECK(has(sheet,
              "card-1/open/1/done:  # recheck the torque after 50 km: front wheel nut, left and right · 2026-11-25"));
    CHECK(has(sheet, "card-1/open/4/still:"));
    const Talk second = talk({"--shop", shop, "record", "--out", out, "2026-1210"},
                             once({{"left boot torn", "perhaps"}, {"declined: new tyres", "still open"}}, [] {
                                 Says says = read_as("5.6 mm");
                                 says.emplace_back("left boot torn", "done");
                                 return says;
                             }()));
    CHECK_MESSAGE(second.ran.status == 0, second.ran.err);
    CHECK(has(second.ran.err, "left boot torn · 2026-11-25 · 12 460 km · 2026-0412  done or still open > "));
    CHECK(has(second.ran.err, "`perhaps` cannot stand here"));
    const std::string record = record_of(shop, "2026-1210");
    CHECK(has(record, "{ job: 2026-0412, declined: new tyres, done: no }"));
    CHECK(has(record, "{ job: 2026-0412, also-found: left boot torn, done: yes }"));
    CHECK(!has(record, "of: disc-brake/front-disc, at: left, done")); // passed by; but it was looked at, and good
    CHECK(run({"--shop", shop, "check"}).status == 0);

    visit(shop, "2027-0105", "2027-01-05", "24 300 km");
    const Ran third = run({"--shop", shop, "print", "2027-0105", "--as", "json"});
    CHECK(has(third.out, "The customer declined: new tyres"));
    CHECK(!has(third.out, "left boot torn"));
    CHECK(!has(third.out, "front brake disc, left: advise"));
    // Both boxes of one line are no answer.
    write(shop + "/../both.yaml", "answers: 2027-0105\nboxes:\n  card-1/open/1/done: x\n  card-1/open/1/still: x\n");
    const Ran both =
        run({"--shop", shop, "--messages", "all", "record", "2027-0105", "--from", shop + "/../both.yaml"});
    CHECK(both.status == 1);
    CHECK(has(both.err, "both.yaml:3:23"));
    // The last one is done: nothing is open but what is to be done after this visit.
    const Talk last = talk({"--shop", shop, "record", "--out", out, "2027-0105"},
                           once({{"declined: new tyres", "done"}}, read_as("5.4 mm")));
    CHECK_MESSAGE(last.ran.status == 0, last.ran.err);
    const std::string history = run({"--shop", shop, "history", "2027-0105", "--as", "json"}).out;
    CHECK(has(history, "\"recheck\": \"recheck the torque after 50 km: front wheel nut, left and right\""));
    CHECK(!has(history, "\"declined\":"));
}

TEST_CASE("a pressure that was found low and set in the same job is told as that, and is not due") {
    const std::string shop = demo_copy("record-put-right");
    const Talk made = talk(
        {"--shop", shop, "record", "--out", out, "2026-0429"},
        once({{"front, cold, left  (", "130 kPa"}, {"rear, cold  (", "170 kPa"}}, {{"front, cold, left  (", "160 kPa"},
                                                                                   {"front, cold, right  (", "160 kPa"},
                                                                                   {"rear, cold  (", "205 kPa"},
                                                                                   {"tread depth", "7.0 mm"},
                                                                                   {"stripe broken", "no"},
                                                                                   {"Did a nut turn", "no"},
                                                                                   {"make bubbles", "no"},
                                                                                   {"gauge used", "FW-0031"},
                                                                                   {"Customer told", "told"}}));
    CHECK_MESSAGE(made.ran.status == 0, made.ran.err);
    CHECK(has(record_of(shop, "2026-0429"), "verdict: past"));
    CHECK(run({"--shop", shop, "due", "--at", "2026-12-09"}).out.starts_with("nothing is due by 2026-12-09\n"));
    const std::string page = run("/usr/bin/pdftotext", {"-layout", out + "/2026-0429.customer.pdf", "-"}).out;
    CHECK(has(page, "found 130"));
    CHECK(has(page, "left at 160"));
    CHECK(has(page, "left at 205"));
    CHECK(!has(page, "at once"));
    CHECK(has(page, "Nothing until the next service."));
}

TEST_CASE("a damaged record of one vehicle stops no card and no record of another") {
    const std::string shop = demo_copy("record-damaged");
    visit(shop, "2026-1210", "2026-12-10", "18 300 km");
    const std::string damaged =
        "records/oh3-00417/2026-0412.yaml"; // of another vehicle than those of 2026-0418 and 2026-0426
    const std::string cards = scratch("record-damaged-out");
    const std::string printed = cards + "/2026-1210.pdf"; // while all was whole
    CHECK(run({"--shop", shop, "print", "2026-1210", "--out", cards}).status == 0);
    for (const std::string& bytes :
         {std::string(), std::string("record: 2026-0412\njob: {"), std::string(5000, '\0')}) {
        write(shop + "/" + damaged, bytes);
        CHECK(has(run({"--shop", shop, "check"}).err, damaged));
        const Ran own = run({"--shop", shop, "print", "2026-1210"}, {.folder = cards});
        CHECK(own.status == 1);
        CHECK(!has(own.err, "of another vehicle"));
        for (const auto& words : {std::vector<std::string>{"2026-1210"},
                                  {"2026-1210", "--sheet"},
                                  {"2026-1210", "--card", printed},
                                  {"2026-1210", "--from", printed}}) {
            std::vector<std::string> all{"--shop", shop, "record"};
            all.insert(all.end(), words.begin(), words.end());
            const Ran refused = run(all, {.folder = cards});
            CHECK(refused.status == 1);
            CHECK(has(refused.err, damaged));
            CHECK(refused.out.empty());
        }
        CHECK(below(shop + "/records").size() == 1); // nothing was begun

        const std::string notice =
            "benchleaf: " + damaged + " is damaged, and of another vehicle; `benchleaf check` says more\n";
        const Ran other = run({"--shop", shop, "print", "2026-0418", "--out", cards});
        CHECK(other.status == 0);
        CHECK(!has(other.err, "damaged")); // who prints one job may not even have looked there
        const Ran all = run({"--shop", shop, "print", "--all", "--out", cards});
        CHECK(all.status == 1);
        CHECK(has(all.err, damaged));
        CHECK(!has(all.err, notice)); // it was said where it stopped a job
        CHECK(run({"--shop", shop, "print", "--vehicle", "ostrel-haul-300", "tyre-check", "--out", cards})
                  .err.find("damaged") == std::string::npos); // a blank card has nothing to do with records
        if (slow) break;
    }
    const Talk talked = talk({"--shop", shop, "record", "--out", out, "2026-0426"}, somebody(read_as("6.4 mm")));
    CHECK(has(talked.ran.err, "is damaged, and of another vehicle"));
    CHECK(has(talked.ran.err, "card 1 of"));
}

TEST_CASE("two cannot write the records of one vehicle at the same time") {
    const std::string shop = scratch("record-lock");
    small_shop(shop);
    bool tried = false;
    const Talk made = talk({"--shop", shop, "record", "--out", out, "cart-1"},
                           [&, good = somebody(on_the_cart())](const std::string& asked) {
                               if (!tried) {
                                   tried = true;
                                   const Ran other = run({"--shop", shop, "record", "--out", out, "cart-1"});
                                   CHECK(other.status == 3);
                                   CHECK(has(other.err, "somebody else is writing"));
                               }
                               return good(asked);
                           });
    CHECK(made.ran.status == 0);
    CHECK(tried);
}

TEST_CASE("the recorder is killed at two hundred moments, and nothing that was typed is lost") {
    const std::string shop = scratch("record-killed");
    small_shop(shop);
    const std::string draft = shop + "/records/ct-0417/cart-1.draft";
    const std::string record = shop + "/records/ct-0417/cart-1.yaml";
    std::mt19937 random(20261126);
    int killed = 0, finished = 0;
    std::string whole;                                          // the record, as it always has to be
    constexpr int moments = BENCHLEAF_TIME_SLACK > 5 ? 8 : 200; // the sanitizers' program is slow
    double lasts = 0.05;
    if (BENCHLEAF_TIME_SLACK > 1) { // as long as it takes undisturbed
        lasts = talk({"--shop", shop, "record", "--out", out, "cart-1"}, somebody(on_the_cart())).ran.seconds;
        fs::remove_all(shop + "/records");
    }
    std::map<std::string, std::string> typed;
    while (killed < moments) {
        std::uniform_real_distribution<double> when(0, lasts);
        const auto good = somebody(on_the_cart());
        const Talk made = talk({"--shop", shop, "record", "--out", out, "cart-1"}, good, {}, when(random));
        if (made.ran.status == 128 + SIGKILL)
            ++killed;
        else
            CHECK_MESSAGE(made.ran.status == 0, made.ran.err);
        const std::string kept = read(draft);
        const bool written = fs::exists(record);
        if (written) {
            const std::string text = read(record);
            CHECK(sealed(text)); // whole
            if (whole.empty()) whole = text;
            CHECK(text == whole);
        }
        // What was heard is there: in the draft, or by now in the record.
        for (const std::string& heard : made.taken)
            if (heard == "24.5 N·m" || heard == "4.4 mm" || heard == "clean, left edge bent") {
                CAPTURE(heard);
                CHECK((has(kept, heard) || (written && has(whole, heard))));
            }
        // And what is in the draft stays there.
        for (const std::string words : {"24.5 N·m", "4.4 mm", "left edge bent"}) {
            if (!written && typed.contains(words)) CHECK(has(kept, words));
            if (has(kept, words)) typed[words] = words;
        }
        // No other file is left but these, and what a killed program had not yet given its name.
        for (const auto& [path, text] : below(shop + "/records"))
            CHECK((path == "ct-0417/cart-1.draft" || path == "ct-0417/cart-1.yaml" || has(path, "cart-1.yaml.")));
        CHECK(run({"--shop", shop, "check"}).status == 0);
        if (written) { // no second record; but what was left is cleared away
            CHECK(run({"--shop", shop, "record", "--out", out, "cart-1", "--correct", "--reason", "x"}).status == 1);
            for (const auto& [path, text] : below(shop + "/records")) CHECK(!has(path, ".writing-"));
        }
        if (!written) {
            lasts = std::min(lasts * 1.05, 2.0 * BENCHLEAF_TIME_SLACK);
            continue;
        }
        ++finished;
        lasts = std::max(lasts * 0.8, 0.02);
        fs::remove_all(shop + "/records");
        typed.clear();
    }
    MESSAGE("killed " << killed << " times, finished " << finished << " times");
    CHECK(finished > (moments < 100 ? 0 : 3));
}

namespace {

std::vector<std::string> being_written(const std::string& folder) {
    std::vector<std::string> found;
    for (const auto& entry : fs::directory_iterator(folder)) {
        const std::string name = entry.path().filename().string();
        if (has(name, ".writing-") && entry.symlink_status().type() == fs::file_type::regular) found.push_back(name);
    }
    std::sort(found.begin(), found.end());
    return found;
}

bool writes_big(const std::string& folder) {
    const std::vector<std::string> now = being_written(folder);
    return std::any_of(now.begin(), now.end(), [](const auto& each) { return each.starts_with("big.txt."); });
}

// A program that is writing into the folder, stopped in the middle of it; 0: it was through before it could be caught.
pid_t caught_writing(const std::string& path) {
    const std::string folder = fs::path(path).parent_path().string();
    const pid_t child = fork();
    if (child == 0) {
        const std::string much(64U << 20U, 'x');
        _exit(driver::write_files({{path, much}}) ? 0 : 1);
    }
    while (waitpid(child, nullptr, WNOHANG) == 0) {
        if (!writes_big(folder)) continue;
        kill(child, SIGSTOP);
        int how = 0;
        waitpid(child, &how, WUNTRACED);
        if (WIFSTOPPED(how) && writes_big(folder)) return child;
        kill(child, SIGKILL);
    }
    return 0;
}

} // namespace

TEST_CASE("what a killed program left half written is removed by the next one, and what is being written is not") {
    const std::string shop = scratch("record-leftovers");
    small_shop(shop);
    const std::string records = shop + "/records/ct-0417";
    const std::string cards = shop + "/out";
    fs::create_directories(records);
    fs::create_directories(cards);
    // Names that are not ours, though they look like it; and ours, where no plain file is.
    const std::vector<std::string> stay{"cart-1.yaml.backup",          "cart-1.yaml.writing-Ab12C",
                                        "cart-1.yaml.writing-Ab12Cdx", "cart-1.yaml.writing-Ab12C_",
                                        "cart-1.yaml.Writing-Ab12Cd",  ".writing-Ab12Cd"};
    for (const std::string& folder : {records, cards}) {
        for (const std::string& name : stay) write(folder + "/" + name, "mine");
        fs::create_directories(folder + "/folder.yaml.writing-Ab12Cd");
        fs::create_symlink(folder + "/cart-1.yaml.backup", folder + "/link.yaml.writing-Ab12Cd");
        write(folder + "/planted.yaml.writing-Ab12Cd", "half");
    }
    const auto next_one = [&] { // takes the lock, and prints a page
        CHECK(run({"--shop", shop, "record", "cart-1"}, {.folder = shop}).status == 1); // cut off: no input
        CHECK(run({"--shop", shop, "print", "cart-1", "--out", cards}).status == 0);
    };
    for (const std::string& folder : {records, cards}) {
        const std::string path = folder + "/big.txt";
        pid_t writer = 0;
        for (int tries = 0; tries < 20 && writer == 0; ++tries) writer = caught_writing(path);
        REQUIRE(writer > 0);
        const std::vector<std::string> before = being_written(folder);
        next_one(); // while it is at work
        CHECK(writes_big(folder));
        CHECK(being_written(folder) == before);
        kill(writer, SIGKILL);
        waitpid(writer, nullptr, 0);
        next_one();
        for (const std::string& each : being_written(folder))
            CHECK(std::find(stay.begin(), stay.end(), each) != stay.end());
        for (const std::string& name : stay) CHECK(read(folder + "/" + name) == "mine");
        CHECK(fs::is_directory(folder + "/folder.yaml.writing-Ab12Cd"));
        CHECK(fs::is_symlink(folder + "/link.yaml.writing-Ab12Cd"));
    }
}

TEST_CASE("a full disk is told, and what was there stays whole") {
    const std::string shop = scratch("record-full");
    small_shop(shop);
    write(shop + "/../answers.yaml", answers());
    CHECK(run({"--shop", shop, "record", "--out", out, "cart-1", "--from", shop + "/../answers.yaml"}).status == 0);
    write(shop + "/../other.yaml", answers({{"card-1/step-3/note/1", "scratched"}}));
    const auto before = below(shop + "/records");
    // A file system of its own of 12 KiB below records/, in a space of its own that is gone with the process; where a machine does not give one, a
    // limit on the length of files stands for it.
    const pid_t child = fork();
    if (child == 0) {
        const std::string mounted = shop + "/records";
        const bool own = unshare(CLONE_NEWNS) == 0 || unshare(CLONE_NEWUSER | CLONE_NEWNS) == 0;
        const bool small = own && mount(nullptr, "/", nullptr, MS_REC | MS_PRIVATE, nullptr) == 0 &&
                           mount("tmpfs", mounted.c_str(), "tmpfs", 0, "size=12k") == 0;
        if (small) {
            write(mounted + "/ct-0417/cart-1.yaml", before.begin()->second);
            std::ofstream(mounted + "/rest") << std::string(100'000, 'x'); // as much as goes in
        } else {
            const rlimit none{16, 16};
            setrlimit(RLIMIT_FSIZE, &none);
        }
        const Talk made = talk({"--shop", shop, "record", "--out", out, "cart-1", "--correct", "--reason", "x"},
                               somebody(on_the_cart()));
        const Ran file = run({"--shop", shop, "record", "--out", out, "cart-1", "--correct", "--reason", "x", "--from",
                              shop + "/../other.yaml"});
        const bool told =
            made.ran.status == 3 && file.status == 3 && has(file.err, small ? "No space left" : "File too large");
        const bool kept = read(mounted + "/ct-0417/cart-1.yaml") == before.begin()->second;
        const bool alone = !fs::exists(mounted + "/ct-0417/cart-1-2.yaml");
        _exit(told && kept && alone ? (small ? 0 : 1) : 100 + (told ? 0 : 1) + (kept ? 0 : 2) + (alone ? 0 : 4));
    }
    int status = 0;
    waitpid(child, &status, 0);
    const int ended = WEXITSTATUS(status);
    CHECK(ended < 100);
    CAPTURE(ended);
    MESSAGE(std::string(ended == 0 ? "on a file system that was full" : "with a limit on the length of files"));
    CHECK(below(shop + "/records") == before);
}
