// What earlier visits left open: what closes it and what does not, the list on the vehicle's next card in every language and on every paper, `due` and
// `history`, and the boxes by which it is answered.
#include "card/build.h"
#include "driver/pipeline.h"
#include "history/history.h"
#include "labels/labels.h"
#include "model/words.h"
#include "properties/layout_rules.h"
#include "properties/sample_records.h"
#include "record/asks.h"
#include "report/due.h"
#include "report/report.h"
#include "text/text.h"
#include "json/json.h"

#include <cstdlib>
#include <nlohmann/json.hpp>

using namespace benchleaf;
using namespace benchleaf::layout_rules;
using sample::Visit;

namespace {

Visit visit(const std::string& id, const std::string& date, const std::string& meter, std::vector<std::string> found,
            const std::string& of_card = {}) {
    Visit made{id, date, meter, "18 460 km"};
    made.found = std::move(found);
    made.of_card = of_card;
    return made;
}

// "a1 disc left advise, a1 also: boot torn"
std::string open_after(const std::vector<Visit>& visits) {
    const auto shop = sample::shop_with(visits);
    const history::History all = history::look_back(shop->model);
    REQUIRE(all.vehicles.size() == 1);
    std::string to;
    for (const history::Open& each : all.vehicles.front().open) {
        to += (to.empty() ? "" : ", ") + each.record->id.value;
        if (each.graded != nullptr)
            to += " " + each.graded->of->value.name + (each.graded->at ? " " + each.graded->at->value.name : "") + " " +
                  std::string(model::word(each.graded->found->value));
        if (!each.also_found.empty()) to += " also: " + each.also_found;
        if (!each.declined.empty()) to += " declined: " + each.declined;
    }
    return to;
}

const std::vector<std::string> both_discs{"of: front-disc, at: left, found: advise",
                                          "of: front-disc, at: right, found: act-now",
                                          "of: front-caliper, at: left, found: good"};

// The demo shop with its pictures, so that its cards can be made.
std::unique_ptr<driver::Shopful> whole_shop_with(const std::vector<Visit>& visits) {
    static const auto demo = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    REQUIRE(demo);
    driver::Files files = demo.value().files;
    for (const Visit& each : visits) files.emplace(sample::path_of(each), sample::text_of(each));
    return driver::link_shop(files);
}

std::unique_ptr<driver::Work> job_after(const driver::Shopful& shop, std::string_view name,
                                        const driver::PrintOptions& options = {}) {
    for (const linked::Job& each : shop.linked.jobs)
        if (each.source->id.value == name) return driver::make_job(shop, each.id, options);
    FAIL("no such job");
    return nullptr;
}

std::string in_one_line(std::string text) {
    std::string to;
    for (const char c : text)
        if (c != '\n' || !to.ends_with(' ')) to += c == '\n' ? ' ' : c;
    for (std::size_t at = to.find("\u00a0"); at != std::string::npos; at = to.find("\u00a0")) to.replace(at, 2, " ");
    while (to.find("  ") != std::string::npos) to.replace(to.find("  "), 2, " ");
    return to;
}

bool has(const std::string& text, std::string_view words) {
    return text.find(words) != std::string::npos;
}

} // namespace

TEST_CASE(
    "an advice is closed by the same thing seen to be good, by its renewal, or by an answer; and by nothing else") {
    const Visit first = visit("a1", "2026-01-01", "1 000 km", both_discs);
    const std::string both = "a1 front-disc left advise, a1 front-disc right act-now";
    CHECK(open_after({first}) == both);
    const auto then = [&](Visit second) { return open_after({first, std::move(second)}); };
    const auto seen = [&](const char* what) { return then(visit("a2", "2026-02-01", "2 000 km", {what})); };
    CHECK(seen("of: front-disc, at: left, found: good") == "a1 front-disc right act-now");
    CHECK(seen("of: rear-disc, at: left, found: good") == both);
    CHECK(seen("of: front-disc, found: good") == both); // nobody said of which side
    // Seen once more, and not better: that is what is open now.
    CHECK(seen("of: front-disc, at: left, found: act-now") ==
          "a1 front-disc right act-now, a2 front-disc left act-now");

    Visit renewed = visit("a2", "2026-02-01", "2 000 km", {});
    renewed.renewed = {"of: front-disc, at: right"};
    CHECK(then(renewed) == "a1 front-disc left advise");
    renewed.renewed = {"of: front-disc"};
    CHECK(then(renewed).empty());
    renewed.renewed = {"of: front-caliper, at: right"};
    CHECK(then(renewed) == both);
    // Renewed at the visit that found it, and in the step after.
    Visit at_once = first;
    at_once.renewed = {"of: other", "of: other", "of: other", "of: front-disc, at: right"};
    CHECK(open_after({at_once}) == "a1 front-disc left advise");
    // Renewed, and then looked at.
    Visit after =
        visit("a1", "2026-01-01", "1 000 km", {}, "    found: { step: 9, of: front-disc, at: left, found: advise }\n");
    after.renewed = {"of: front-disc, at: left"}; // in step 1
    CHECK(open_after({after}) == "a1 front-disc left advise");

    const auto answered = [&](const char* what) {
        return then(visit("a2", "2026-02-01", "2 000 km", {}, fmt::format("    earlier:\n      - {{ {} }}\n", what)));
    };
    CHECK(answered("job: a1, of: front-disc, at: left, done: yes") == "a1 front-disc right act-now");
    CHECK(answered("job: a1, of: front-disc, at: left, done: no") == both);
    CHECK(answered("job: a0, of: front-disc, at: left, done: yes") == both);
    CHECK(answered("job: a1, of: front-disc, done: yes") == both);
    CHECK(answered("job: a1, also-found: front-disc, done: yes") == both);
    // Said to be done, and found bad at the same visit.
    Visit done = visit("a2", "2026-02-01", "2 000 km", {"of: front-disc, at: left, found: advise"},
                       "    earlier:\n      - { job: a1, of: front-disc, at: left, done: yes }\n");
    CHECK(then(done) == "a1 front-disc right act-now, a2 front-disc left advise");
}

TEST_CASE("what was written stays until it is answered") {
    const Visit first = visit("a1", "2026-01-01", "1 000 km", {},
                              "    also-found: left boot torn\n    declined: [new tyres, left boot torn]\n");
    const std::string all = "a1 also: left boot torn, a1 declined: new tyres, a1 declined: left boot torn";
    CHECK(open_after({first}) == all);
    const auto then = [&](const std::string& of_card) {
        return open_after({first, visit("a2", "2026-02-01", "2 000 km", {"of: left-boot, found: good"}, of_card)});
    };
    CHECK(then("") == all);
    CHECK(then("    also-found: left boot torn\n") == all); // once more in the same words
    CHECK(then("    also-found: right boot torn\n") == all + ", a2 also: right boot torn");
    CHECK(then("    earlier: { job: a1, also-found: left boot torn, done: yes }\n") ==
          "a1 declined: new tyres, a1 declined: left boot torn");
    CHECK(then("    earlier: { job: a1, declined: left boot torn, done: yes }\n") ==
          "a1 also: left boot torn, a1 declined: new tyres");
    CHECK(then("    earlier: { job: a1, also-found: left boot torn, done: no }\n") == all);
    // A record that was corrected is still that job's.
    Visit corrected = first;
    corrected.id = "a1-2";
    corrected.more = "corrects: a1\n";
    Visit later =
        visit("a2", "2026-02-01", "2 000 km", {}, "    earlier: { job: a1-2, declined: new tyres, done: yes }\n");
    CHECK(open_after({first, corrected, later}) ==
          "a1-2 also: left boot torn, a1-2 declined: left boot torn"); // the sample's job is called as its record
}

TEST_CASE("the next card of the vehicle shows it, and no other card") {
    Visit first = visit("2026-0301", "2026-03-01", "8 100 km", both_discs,
                        "    also-found: left boot torn\n    declined: new tyres\n");
    const auto shop = whole_shop_with({first});
    const auto work = job_after(*shop, "2026-0412");
    REQUIRE(work->cards.size() == 4);
    const card::OpenList& open = work->cards.front().card.before.open;
    REQUIRE(open.lines.size() == 4);
    CHECK(open.lines[0].what == "front brake disc, right: act now");
    CHECK(open.lines[1].what == "The customer declined: new tyres");
    CHECK(open.lines[2].what == "Also found: left boot torn");
    CHECK(open.lines[3].what == "front brake disc, left: advise");
    CHECK(in_one_line(open.lines[0].visit) == "2026-03-01 · 8 100 km · 2026-0301");
    CHECK(open.more.empty());
    for (std::size_t i = 1; i < work->cards.size(); ++i) CHECK(work->cards[i].card.before.open.lines.empty());
    CHECK(has(text::print(work->cards.front().card), "Open from earlier visits:"));
    CHECK(has(in_one_line(text::print(work->cards.front().card)),
              "front brake disc, right: act now · 2026-03-01 · 8 100 km · 2026-0301 [ ] done [ ] still open"));
    CHECK(nlohmann::json::parse(json::print(work->cards.front().card))["before"]["open"]["lines"].size() == 4);
    // The digest is of it, too.
    CHECK(has(card::dump(work->cards.front().card), "front brake disc, right: act now"));

    // Another vehicle's card, a blank one, and one before which nothing was left open, have nothing of it.
    CHECK(job_after(*shop, "2026-0418")->cards.front().card.before.open.lines.empty());
    first.found = {"of: front-disc, at: left, found: good"};
    first.of_card.clear();
    const auto good = whole_shop_with({first});
    CHECK(!has(card::dump(job_after(*good, "2026-0412")->cards.front().card), "open"));
}

TEST_CASE(
    "many of them, long ones and signs that no face has keep the rules of layout, in every language on every paper") {
    std::vector<Visit> visits;
    for (int i = 1; i <= 9; ++i)
        visits.push_back(
            visit(fmt::format("2026-030{}", i), fmt::format("2026-03-0{}", i), fmt::format("8 {}00 km", i), {},
                  fmt::format("    also-found: \"{} {}\"\n", i,
                              i % 2 == 0 ? std::string(60, 'W') + " 漢字 " + std::string(80, 'x') : "a short one")));
    visits.push_back(visit("2026-0201", "2026-02-01", "7 000 km",
                           {"of: front-disc, at: left, found: act-now", "of: a-part-of-long-ago, found: advise"}));
    const auto shop = whole_shop_with(visits);
    for (const labels::Labels& each : labels::languages())
        for (const pages::Paper paper : papers) {
            driver::PrintOptions options;
            options.language = each.language;
            options.paper = paper;
            const auto work = job_after(*shop, "2026-0412", options);
            for (const auto& message : work->messages.all()) MESSAGE(message.text);
            REQUIRE(!work->cards.empty());
            const driver::PagedCard& first = work->cards.front();
            CAPTURE(each.language);
            CAPTURE(pages::name(paper));
            CHECK(first.card.before.open.lines.size() == 6); // those that are to be done now are never among the others
            CHECK(first.card.before.open.lines.front().item == "front-disc");
            CHECK(first.card.before.open.lines[1].also_found == "9 a short one");
            CHECK(has(first.card.before.open.more, "5"));
            CHECK(has(first.card.before.open.more, "benchleaf history TX"));
            for (const std::string& fault : faults_of(first.pages)) FAIL_CHECK(fault);
            for (const std::string& fault : column_faults(first.pages)) FAIL_CHECK(fault);
            // Every box that is asked for stands on paper.
            std::size_t boxes = 0;
            walk(first.pages, [&](const Box& box, const Above&) {
                if (box.name.starts_with("open/")) ++boxes;
            });
            CHECK(boxes == 12);
            const std::vector<std::string> known = record::all_boxes(driver::sheet_of(*shop, *work));
            CHECK(std::count_if(known.begin(), known.end(),
                                [](const std::string& name) { return name.starts_with("card-1/open/"); }) == 12);
            if (const char* folder = std::getenv("BENCHLEAF_LOOK")) {
                std::filesystem::create_directories(folder);
                std::ofstream(fmt::format("{}/open-{}-{}.pdf", folder, each.language, pages::name(paper)),
                              std::ios::binary)
                    << driver::pdf_of(first).value();
            }
        }
}

TEST_CASE("due and history tell it") {
    Visit first = visit("2026-0301", "2026-03-01", "8 100 km", both_discs,
                        "    also-found: left boot torn\n    declined: new tyres\n    recheck: \"recheck: nut\"\n    "
                        "later: good to know\n");
    const auto shop = sample::shop_with({first});
    const auto history = history::look_back(shop->model);
    const report::Shop facts = driver::report_shop(*shop, {});
    const report::Dues dues = report::due(history, facts, *mechanics::parse_date("2026-03-02"));
    std::vector<std::string> states;
    for (const report::Due& each : dues.list) states.emplace_back(report::name(each.state));
    CHECK(states == std::vector<std::string>{"act now", "advised", "also found", "declined by the customer",
                                             "not recorded as done"});
    const std::string text = in_one_line(text::print(dues));
    CHECK(has(
        text,
        "act now · Ostrel Haul 300 · TX 30 418 · front brake disc, right open since 2026-0301 2026-03-01 (8 100 km)"));
    CHECK(has(text, "declined by the customer · Ostrel Haul 300 · TX 30 418 · new tyres"));
    const auto json = nlohmann::json::parse(json::print(dues)).at("due");
    CHECK(json.at(0).at("state") == "act-now");
    CHECK(json.at(0).at("item") == "front-disc");
    CHECK(json.at(0).at("at") == "right");
    CHECK(json.at(3).at("text") == "new tyres");

    const std::string told = in_one_line(text::print(report::of_history(facts, history.vehicles.front())));
    CHECK(has(told, "Open from earlier visits"));
    CHECK(has(told, "front brake disc, left: advise"));
    CHECK(has(told, "Also found: left boot torn"));
    const auto open = nlohmann::json::parse(json::print(history.vehicles.front(), facts)).at("open");
    REQUIRE(open.size() == 5);
    CHECK(open.at(4).at("recheck") == "recheck: nut");
    CHECK(open.at(0).at("found") == "advise");
    CHECK(open.at(3).at("declined") == "new tyres");
}
