// What a card says of sides, of answers and of what it leaves to another card, on small shops that are made for it. Its close-out is
// signed: it may name no bolt that nobody touched, and leave no debt unsaid.
#include "card/build.h"
#include "card/done.h"
#include "fitted/fit.h"
#include "labels/labels.h"
#include "proof/proved.h"
#include "text/text.h"

#include "properties/read_shop.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>

using namespace benchleaf;

namespace {

using Files = std::map<std::string, std::string>;

// Figures and names are invented.
Files shop() {
    return {{"shop.yaml", "shop: small-works\n"
                          "name: Small Works\n"
                          "wrenches:\n"
                          "  a: { name: wrench A, range: 4..20 N·m, accuracy: 4 %, calibrated-until: 2027-03-01 }\n"
                          "  b: { name: wrench B, range: 20..100 N·m, accuracy: 4 %, calibrated-until: 2027-03-01 }\n"},
            {"catalogue/hub.yaml",
             "catalogue: hub\n"
             "parts:\n"
             "  cover: { name: cover, held-by: [cover-bolt], each: side }\n"
             "fasteners:\n"
             "  cover-bolt: { name: cover bolt, thread: M8x1.25, class: \"8.8\", head: 12 mm hex, threadlock: locker, "
             "critical: true, each: side }\n"
             "  rod-nut: { name: rod nut, thread: M12x1.25, head: 19 mm hex, duty: adjust, critical: true }\n"
             "  hub-nut: { name: hub nut, thread: M20x1.5, head: 30 mm hex, duty: adjust, critical: true }\n"
             "torques:\n"
             "  cover-bolt: { value: 22 N·m, threads: thread-locked, source: invented }\n"
             "  rod-nut: { value: 100 N·m, threads: dry, source: invented }\n"
             "  hub-nut: { value: [50 N·m turning, back-off 90°, 10 N·m, +10°], threads: dry, source: invented }\n"
             "consumables:\n"
             "  locker: { name: locker, sort: thread-locker, sets-in: 20 min, full-in: 24 h, unit: drop }\n"
             "  oil: { name: gear oil, sort: fluid, unit: L }\n"
             "circuits:\n"
             "  gearbox: { name: gearbox oil, sort: gear-oil, fluid: oil, holds: 2.4 L }\n"
             "settings:\n"
             "  hand-brake: { name: hand brake, states: [released, pulled], rest: any }\n"
             "limits:\n"
             "  gap: { of: cover, name: gap, within: 1..3 mm, reads-to: 1 mm }\n"
             "  run: { of: cover, name: runout, maximum: 0.10 mm, reads-to: 0.01 mm, points: 8 }\n"
             "  toe-in: { of: rod-nut, name: toe-in, within: 1..3 mm, reads-to: 1 mm }\n"
             "  lining: { of: cover, name: lining, new: 9.0 mm, minimum: 2.0 mm, reads-to: 0.1 mm, wears-with: km, "
             "difference: { over: side, maximum: 1 mm } }\n"
             "adjustments:\n"
             "  toe: { name: toe, disturbed-by: [rod-nut], proved-by: [toe-in] }\n"},
            {"vehicles/cart.yaml", "vehicle: cart\nname: Cart\n"},
            {"vehicles/mono.yaml",
             "vehicle: mono\nname: Mono\nonly: { cover: { side: left }, cover-bolt: { side: left } }\n"}};
}

struct Made {
    std::vector<card::Card> cards;
    std::string errors;
};

// `procedures`: from its name to all but its first line.
Made cards_of(const std::map<std::string, std::string>& procedures, const std::string& order,
              const std::string& vehicle = "cart", const std::string& language = "en") {
    Files files = shop();
    for (const auto& [name, text] : procedures)
        files["work/" + name + ".yaml"] = "procedure: " + name + "\ntitle: Work\nrevision: 1\nuses: hub\n" + text;
    files["jobs/j.yaml"] = "job: j\nvehicle: " + vehicle + "\ndate: 2026-11-25\ndo: [" + order + "]\n";
    const ReadShop read(files);
    messages::Messages messages;
    Made made;
    for (const auto& each : read.messages.all())
        if (each.rule->level == messages::Level::error) made.errors += each.text + "\n";
    const fitted::Fitted fitted = fitted::fit_job(*fitted::common_of(read.linked), linked::JobId(0), {}, messages);
    if (const auto proved = proof::prove_job(fitted, 0, messages))
        for (std::size_t i = 0; i < proved->fit().sequence.size(); ++i)
            if (auto card = card::build(*proved, i, *labels::find(language), messages))
                made.cards.push_back(std::move(*card));
    for (const auto& each : messages.all())
        if (each.rule->level == messages::Level::error) made.errors += each.text + "\n";
    return made;
}

std::vector<std::string> lines(const card::Card& card) {
    std::vector<std::string> all;
    for (const auto& line : card.close_out.lines) all.push_back(line.text);
    for (const auto& line : card.close_out.later) all.push_back(line);
    return all;
}

bool says(const std::vector<std::string>& all, const std::string& what) {
    const bool said = std::find(all.begin(), all.end(), what) != all.end();
    if (!said)
        for (const auto& line : all) MESSAGE(line);
    return said;
}

// Off and on again, with its locker.
const std::string off_and_on = "- remove: cover-bolt\n"
                               "- clean: cover-bolt\n"
                               "- apply: locker\n  to: cover-bolt\n  amount: 1 drop\n"
                               "- fit: cover-bolt\n"
                               "- torque: cover-bolt\n";

std::string in(const std::string& text, std::size_t by) {
    std::string made(by, ' ');
    for (const char c : text) {
        made += c;
        if (c == '\n') made += std::string(by, ' ');
    }
    made.resize(made.size() - by);
    return made;
}

std::string each_step(std::string text, const std::string& key) {
    std::string made;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t next = std::min(text.find("\n- ", at), text.size() - 1) + 1;
        made += text.substr(at, next - at) + "  " + key + "\n";
        at = next;
    }
    return made;
}

const card::Row& row_with(const card::Card& card, const std::string& text) {
    for (const auto& section : card.sections)
        for (const auto& row : section.rows)
            if (const auto* step = std::get_if<card::Step>(&row.what); step != nullptr && step->text == text)
                return row;
    FAIL("no step ", text);
    return card.sections.front().rows.front();
}

const card::Step& step_with(const card::Card& card, const std::string& text) {
    return std::get<card::Step>(row_with(card, text).what);
}

} // namespace

TEST_CASE("the close-out names the sides that the rows touch, through `only` on a step and on a call") {
    const std::string sided = "each: side\nsteps:\n";
    const Made both = cards_of({{"w", sided + in(off_and_on, 2)}}, "w");
    REQUIRE_MESSAGE(both.cards.size() == 1, both.errors);
    CHECK(says(lines(both.cards[0]), "cover bolt at 22\u00a0N·m, left and right"));
    CHECK(says(lines(both.cards[0]), "locker on: cover bolt, left and right"));
    const Made steps = cards_of({{"w", sided + in(each_step(off_and_on, "only: { side: right }"), 2)}}, "w");
    REQUIRE_MESSAGE(steps.cards.size() == 1, steps.errors);
    CHECK(says(lines(steps.cards[0]), "cover bolt at 22\u00a0N·m, right"));
    CHECK(says(lines(steps.cards[0]), "locker on: cover bolt, right"));
    const Made call = cards_of(
        {{"w", sided + "  - do: inner\n    only: { side: left }\n"}, {"inner", sided + in(off_and_on, 2)}}, "w");
    REQUIRE_MESSAGE(call.cards.size() == 1, call.errors);
    CHECK(says(lines(call.cards[0]), "cover bolt at 22\u00a0N·m, left"));
    for (const auto& section : call.cards[0].sections) CHECK(section.columns == std::vector<std::string>{"L"});
    // Narrowed in a section that is worked once.
    const Made once = cards_of(
        {{"w", sided + "  - section: Once\n    once: true\n" + in(each_step(off_and_on, "only: { side: left }"), 2)}},
        "w");
    REQUIRE_MESSAGE(once.cards.size() == 1, once.errors);
    CHECK(says(lines(once.cards[0]), "cover bolt at 22\u00a0N·m, left"));
}

TEST_CASE("a step of a call for a side on which the vehicle has nothing of it is no row of the card") {
    const Made made =
        cards_of({{"w", "each: side\nsteps:\n  - Look at it.\n  - do: inner\n    only: { side: right }\n"},
                  {"inner", "each: side\nsteps:\n" + in(off_and_on, 2)}},
                 "w", "mono");
    REQUIRE_MESSAGE(made.cards.size() == 1, made.errors);
    CHECK(made.cards[0].sections.at(0).rows.size() == 1);
    CHECK(lines(made.cards[0]).empty());
}

TEST_CASE("a column in which nothing is done is left out; what is written in plain words is done in every column") {
    const std::string plain = "each: side\nsteps:\n  - Look at it.\n" + in(off_and_on, 2) +
                              "  - section: Then\n    once: true\n  - Wipe the bench.\n";
    const card::Card two = cards_of({{"w", plain}}, "w").cards.at(0);
    CHECK(two.sections[0].columns == std::vector<std::string>{"L", "R"});
    CHECK(two.sections[0].order == "down the left column first, then down the right");
    CHECK(two.sections[1].order == "once, for both sides");
    // The vehicle has the item on one side.
    const std::string bare = "each: side\nsteps:\n" + in(off_and_on, 2);
    const card::Card one = cards_of({{"w", bare}}, "w", "mono").cards.at(0);
    CHECK(one.sections[0].columns == std::vector<std::string>{"L"});
    CHECK(one.sections[0].order.empty());
    CHECK(says(lines(one), "cover bolt at 22\u00a0N·m, left"));
    // Nobody has said that what has to be looked at is on that side only.
    const card::Card looked = cards_of({{"w", plain}}, "w", "mono").cards.at(0);
    CHECK(looked.sections[0].columns == std::vector<std::string>{"L", "R"});
    CHECK(row_with(looked, "Look at it.").marks == std::vector<bool>{true, true});
    CHECK(row_with(looked, "Remove: cover bolt").marks == std::vector<bool>{true, false});
    // An `only` on the other rows does not take away a step that was written for both sides.
    const std::string narrowed =
        "each: side\nsteps:\n  - Look at it.\n" + in(each_step(off_and_on, "only: { side: left }"), 2);
    const card::Card kept = cards_of({{"w", narrowed}}, "w").cards.at(0);
    CHECK(kept.sections[0].columns == std::vector<std::string>{"L", "R"});
    CHECK(row_with(kept, "Look at it.").marks == std::vector<bool>{true, true});
    CHECK(row_with(kept, "Remove: cover bolt").marks == std::vector<bool>{true, false});
    // A question in words, likewise: after its last column the section ends.
    const auto goes = [&](const std::string& vehicle) {
        const Made made = cards_of({{"w", "each: side\nsteps:\n" + in(off_and_on, 2) +
                                              "  - ask: Is it whole?\n    if-not:\n      - Mark it.\n" +
                                              "  - section: Then\n    once: true\n  - Wipe the bench.\n"}},
                                   "w", vehicle);
        REQUIRE_MESSAGE(made.cards.size() == 1, made.errors);
        return std::get<card::Question>(made.cards[0].sections[0].rows[5].what).yes_goes;
    };
    CHECK(goes("cart") == "→ end of the section");
    CHECK(goes("mono") == "→ end of the section");
}

TEST_CASE("a question that is read on one side is asked there, and a repeat goes with its rows") {
    // The wheel is on both sides, the cover on one: the section keeps both columns.
    const std::string text = "each: side\nsteps:\n"
                             "  - Look at the wheel.\n"
                             "  - say: Shut it.\n    only: { side: right }\n"
                             "  - measure: gap\n"
                             "  - decide: gap\n    if-not:\n      - stop: The cover is bent.\n";
    const Made made = cards_of({{"w", text}}, "w", "mono");
    REQUIRE_MESSAGE(made.cards.size() == 1, made.errors);
    const auto& section = made.cards[0].sections[0];
    CHECK(section.columns == std::vector<std::string>{"L", "R"});
    CHECK(section.rows[0].marks == std::vector<bool>{true, true}); // written for both, and there is work on the right
    CHECK(section.rows[1].marks == std::vector<bool>{false, true});
    CHECK(section.rows[3].marks == std::vector<bool>{true, false});
}

TEST_CASE("what is owed when a card is done stands in its close-out, whichever card made it") {
    const std::map<std::string, std::string> work = {
        {"off", "ends-with: { toe: { owes: [adjust, prove] } }\n"
                "steps:\n  - slacken: rod-nut\n  - torque: rod-nut\n"},
        {"other", "each: side\nsteps:\n" + in(off_and_on, 2)},
        {"set", "starts-with: { toe: { owes: [adjust, prove] } }\n"
                "steps:\n  - adjust: toe\n  - measure: toe-in\n"
                "  - decide: toe-in\n    if-not:\n      - stop: The toe cannot be set.\n"}};
    const Made made = cards_of(work, "off, other, set");
    REQUIRE_MESSAGE(made.cards.size() == 3, made.errors);
    const std::string open = "not finished on this card – toe: still to do: adjusting, measuring after adjusting";
    CHECK(says(lines(made.cards[0]), open));
    CHECK(says(lines(made.cards[1]), open)); // that card neither touches nor names it
    const auto last = lines(made.cards[2]);
    CHECK(says(last, "toe: adjusted, measured after that"));
    CHECK(std::none_of(last.begin(), last.end(), [](const auto& line) { return line.starts_with("not finished"); }));
}

TEST_CASE("a setting that rests anywhere is among the states, in the first of its own, too") {
    const Made made = cards_of({{"w", "starts-with: { hand-brake: released }\nends-with: { hand-brake: released }\n"
                                      "steps:\n  - Look at it.\n"},
                                {"first", "ends-with: { hand-brake: released }\nsteps:\n"
                                          "  - set: { hand-brake: pulled }\n  - set: { hand-brake: released }\n"}},
                               "first, w");
    REQUIRE_MESSAGE(made.cards.size() == 2, made.errors);
    CHECK(made.cards[1].before.states == std::vector<std::string>{"hand brake: released"});
}

TEST_CASE("what is done on one answer stands in the close-out with that answer, in every language") {
    const std::string asks =
        "each: side\nsteps:\n  - section: Once\n    once: true\n  - ask: Is it whole?\n    id: whole\n";
    const auto made = [&](const std::string& rest, const std::string& language = "en") {
        Made all = cards_of({{"w", asks + rest}}, "w", "cart", language);
        REQUIRE_MESSAGE(all.cards.size() == 1, all.errors);
        return lines(all.cards[0]);
    };
    const std::string work = in(off_and_on, 6);
    const std::string bolt = "cover bolt at 22\u00a0N·m, left and right";
    const auto no = made("    if-not:\n" + work);
    CHECK(says(no, "If step 1 was answered no: " + bolt));
    CHECK(says(no, "If step 1 was answered no: locker on: cover bolt, left and right"));
    CHECK(says(no, "If step 1 was answered no: locker: full strength after 24\u00a0h"));
    CHECK(says(made("    if-so:\n" + work + "    if-not:\n      - stop: It is cracked.\n"), bolt)); // no other way out
    CHECK(says(made("    if-so:\n" + work + "    if-not:\n" + work), bolt));
    CHECK(says(made("  - if-answered: { whole: no }\n    steps:\n" + work), "If step 1 was answered no: " + bolt));
    const auto stopped = made("    if-not:\n" + work + "      - stop: It is cracked.\n");
    CHECK(std::none_of(stopped.begin(), stopped.end(), [](const auto& l) { return l.find("cover bolt") != l.npos; }));
    // A question on the way of another speaks for both.
    CHECK(says(made("    if-not:\n      - ask: Is it straight?\n        if-so:\n" + in(off_and_on, 10)),
               "If step 2 was answered yes: " + bolt));
    CHECK(says(made("    if-not:\n" + work + "  - ask: Is it straight?\n    if-not:\n" + work),
               "If step 1 was answered no or step 7 was answered no: " + bolt));
    // When the rounds of a repeat are used up.
    CHECK(says(made("  - say: Turn it.\n    id: turn\n  - again:\n      from: turn\n      until: Does it run?\n      "
                    "at-most: 2\n"
                    "      else:\n" +
                    in(off_and_on, 8)),
               "If step 3 was still no after the last round: " + bolt));
    const std::map<std::string, std::string> told = {{"de", "Falls Schritt 1 mit Nein beantwortet: "},
                                                     {"el", "Αν η απάντηση στο βήμα 1 ήταν όχι: "},
                                                     {"es", "Si la respuesta al paso 1 fue no: "},
                                                     {"fr", "Si réponse non à l'étape 1\u00a0: "},
                                                     {"pl", "Jeśli w kroku 1 odpowiedziano „nie”: "}};
    for (const auto& [language, start] : told) {
        const auto all = made("    if-not:\n" + work, language);
        CHECK(std::any_of(all.begin(), all.end(),
                          [&, words = start](const auto& line) { return line.starts_with(words); }));
    }
}

TEST_CASE("answers are said as shortly as they can be") {
    using card::Answered;
    using How = Answered::How;
    const Answered a{1, How::yes}, not_a{1, How::no}, b{2, How::yes}, not_b{2, How::no}, over{3, How::over};
    using card::simplified;
    CHECK(simplified({{a}, {not_a}}) == card::When{{}});
    CHECK(simplified({{a}, {}}) == card::When{{}});
    CHECK(simplified({{a}, {a, b}}) == card::When{{a}});
    CHECK(simplified({{a, b}, {a, not_b}}) == card::When{{a}});
    CHECK(simplified({{a}, {not_a, b}}) == card::When{{a}, {b}});
    CHECK(simplified({{a, b}, {not_a, not_b}}) == card::When{{a, b}, {not_a, not_b}});
    CHECK(simplified({{over}, {a}}).size() == 2);
}

TEST_CASE("in a repeat there are boxes for each further round, few enough to be looked through") {
    const auto again = [](const std::string& vehicle, const std::string& limit, int most) {
        const std::string text = "each: side\nsteps:\n  - say: Turn it.\n    id: turn\n  - measure: " + limit +
                                 "\n  - again:\n      from: turn\n      until: " + limit +
                                 "\n      at-most: " + std::to_string(most) +
                                 "\n      else:\n        - stop: It will not.\n";
        Made made = cards_of({{"w", text}}, "w", vehicle);
        REQUIRE_MESSAGE(made.cards.size() == 1, made.errors);
        return std::pair(std::get<card::Step>(made.cards[0].sections[0].rows[1].what).again,
                         text::print(made.cards[0]));
    };
    const auto [two, text] = again("cart", "gap", 2);
    CHECK(two.rounds == 2);
    CHECK(two.boxes == 2);
    CHECK(card::note_of(two).empty());
    CHECK(text.find("L [______ mm] ↻1 [______ mm]") != std::string::npos);
    const auto [many, last] = again("cart", "gap", 9); // 18 boxes
    CHECK(many.rounds == 9);
    CHECK(many.boxes == 1);
    CHECK(card::rounds_of(many, 1) == "1–9");
    CHECK(card::note_of(many) == "after the last round");
    CHECK(last.find("↻1–9") != std::string::npos);
    CHECK(again("mono", "gap", 8).first.boxes == 8);
    // Eight points are read the first time; then the worst of them.
    const auto [points, worst] = again("cart", "run", 3);
    CHECK(points.boxes == 3);
    CHECK(card::note_of(points) == "later rounds: the worst reading");
    CHECK(worst.find("8 [____]") != std::string::npos);
}

TEST_CASE("a figure names its fastener where the words do not") {
    const auto named = [](const std::string& say) {
        const Made made =
            cards_of({{"w", "steps:\n  - slacken: rod-nut\n  - torque: rod-nut\n    say: " + say +
                                "\n    id: t\n  - adjust: toe\n  - measure: toe-in\n  - decide: toe-in\n    if-not:\n"
                                "      - stop: It does not come right.\n"}},
                     "w");
        REQUIRE_MESSAGE(made.cards.size() == 1, made.errors);
        return std::get<std::vector<card::Torque>>(step_with(made.cards[0], say).panel).at(0).named;
    };
    CHECK(named("Pull it home."));
    CHECK(named("Tighten the nut."));
    CHECK_FALSE(named("Tighten the rod nut."));
}

TEST_CASE("a difference beside a bound is asked, too, and miles wear over kilometres") {
    const Made made = cards_of({{"w", "steps:\n  - measure: lining\n  - decide: lining\n    if-not:\n"
                                      "      - stop: The lining is worn.\n"}},
                               "w", "cart\nmeter: 5000 mi\nnext-service: +6000 km");
    REQUIRE_MESSAGE(made.cards.size() == 1, made.errors);
    const std::string text = text::print(made.cards[0]);
    CHECK(text.find("Is all of this so") != std::string::npos);
    // q = 1.25 · 6000 km / 5000 mi = 0.932; (2 + q · 9) / (1 + q) = 5.38, up to the next tenth.
    const std::size_t asked = text.find("– lining:");
    REQUIRE(asked != std::string::npos);
    CHECK(text.find("5.4 mm", asked) != std::string::npos);
    CHECK(text.find("difference", asked) != std::string::npos);
}

TEST_CASE("of a torque in stages each stage has its wrench where one does not do for all") {
    const Made made = cards_of({{"w", "steps:\n  - slacken: hub-nut\n  - torque: hub-nut\n"}}, "w");
    REQUIRE_MESSAGE(made.cards.size() == 1, made.errors);
    const auto& torque = std::get<std::vector<card::Torque>>(step_with(made.cards[0], "Torque: hub nut").panel).at(0);
    CHECK(torque.stages.size() == 4);
    CHECK(torque.stage_wrenches == std::vector<std::string>{"wrench B", "", "wrench A", ""});
    CHECK(torque.wrench.empty());
    CHECK(text::print(made.cards[0]).find("while\n") != std::string::npos);
}

TEST_CASE("sums are what a jug measures, second units no finer than the first") {
    const Made made =
        cards_of({{"w", "ends-with: { toe: { owes: [adjust, prove] } }\nsteps:\n  - open: gearbox\n  - fill: gearbox\n"
                        "  - fill: gearbox\n    amount: 2 mL\n  - level: gearbox\n  - leak-check: gearbox\n"
                        "  - slacken: rod-nut\n  - torque: rod-nut\n"},
                  {"set", "starts-with: { toe: { owes: [adjust, prove] } }\nsteps:\n  - adjust: toe\n"
                          "  - measure: toe-in\n"}},
                 "w, set");
    REQUIRE_MESSAGE(made.cards.size() == 2, made.errors);
    const auto& used = made.cards[0].before.consumables;
    REQUIRE(used.size() == 1);
    CHECK(used[0].amount == "2.5\u00a0L"); // of 2.402
    const auto& torque = std::get<std::vector<card::Torque>>(step_with(made.cards[0], "Torque: rod nut").panel).at(0);
    CHECK(torque.value == "100");
    CHECK(torque.second == "74\u00a0lbf·ft"); // 100 / 1.3558179483314004 = 73.756
}
