// The cards of the demo shop, made in every language: what each must hold whatever it says.
#include "card/build.h"
#include "fitted/fit.h"
#include "labels/labels.h"
#include "linked/link.h"
#include "model/read.h"
#include "pages/field_words.h"
#include "pages/lay_out.h"
#include "proof/proved.h"
#include "syntax/syntax.h"
#include "text/text.h"

#include "properties/read_shop.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iostream>
#include <memory>
#include <set>
#include <sstream>

using namespace benchleaf;

namespace {

using Shop = ReadShop;

// The shop, perhaps with a text of one of its files changed.
std::unique_ptr<Shop> read_shop(const std::string& path = {}, const std::string& from = {},
                                const std::string& to = {}) {
    namespace fs = std::filesystem;
    std::map<std::string, std::string> shop;
    const fs::path root = fs::path(BENCHLEAF_SOURCE_DIR) / "procedures";
    for (const auto& entry : fs::recursive_directory_iterator(root)) {
        const fs::path& file = entry.path();
        if (file.extension() != ".yaml") continue;
        std::ifstream in(file);
        std::stringstream text;
        text << in.rdbuf();
        std::string bytes = text.str();
        const std::string name = fs::relative(file, root).string();
        if (name == path) {
            const auto at = bytes.find(from);
            REQUIRE(at != std::string::npos);
            bytes.replace(at, from.size(), to);
        }
        shop.emplace(name, std::move(bytes));
    }
    return std::make_unique<Shop>(shop);
}

struct Made {
    std::vector<card::Card> cards;
    messages::Messages messages;
};

Made cards_of(Shop& shop, const std::string& job, const labels::Labels& words) {
    Made made;
    for (std::size_t i = 0; i < shop.linked.jobs.size(); ++i) {
        if (shop.linked.jobs[i].source->id.value != job) continue;
        const fitted::Fitted fitted =
            fitted::fit_job(*fitted::common_of(shop.linked), linked::JobId(i), {}, made.messages);
        const auto proved = proof::prove_job(fitted, 0, made.messages);
        if (!proved) return made;
        for (std::size_t card = 0; card < proved->fit().sequence.size(); ++card)
            if (auto each = card::build(*proved, card, words, made.messages)) made.cards.push_back(std::move(*each));
    }
    return made;
}

std::string errors(const messages::Messages& messages) {
    std::string text;
    for (const auto& each : messages.all())
        if (each.rule->level == messages::Level::error) text += std::string(each.rule->name) + ": " + each.text + "\n";
    return text;
}

const card::Card& named(const Made& made, const std::string& part) {
    for (const card::Card& each : made.cards)
        if (each.file_stem.find(part) != std::string::npos) return each;
    FAIL("no card ", part, " among ", made.cards.size(), ": ", errors(made.messages));
    return made.cards.front();
}

const card::Step* step_with(const card::Card& card, const std::string& text) {
    for (const card::Section& section : card.sections)
        for (const card::Row& row : section.rows)
            if (const auto* step = std::get_if<card::Step>(&row.what))
                if (step->text.find(text) != std::string::npos) return step;
    return nullptr;
}

} // namespace

TEST_CASE("every demo job makes its cards in every language, and what is not worded stays the same") {
    const auto shop = read_shop();
    INFO(errors(shop->messages));
    REQUIRE(!shop->messages.any_error());
    std::size_t cards = 0;
    for (const linked::Job& job : shop->linked.jobs) {
        std::vector<std::vector<std::string>> shapes;
        for (const labels::Labels& words : labels::languages()) {
            const Made made = cards_of(*shop, job.source->id.value, words);
            INFO(job.source->id.value, " ", words.language, "\n", errors(made.messages));
            REQUIRE(made.cards.size() == job.procedures.size());
            std::vector<std::string> shape;
            for (const card::Card& card : made.cards) {
                ++cards;
                std::uint32_t number = 0;
                std::set<std::string> names;
                for (const card::Section& section : card.sections) {
                    REQUIRE(!section.columns.empty());
                    for (const card::Row& row : section.rows) {
                        INFO(card.file_stem, " ", row.name);
                        CHECK(row.marks.size() == section.columns.size());
                        CHECK(names.insert(row.name).second);
                        if (row.number == 0) continue;
                        CHECK(row.number == ++number);
                        shape.push_back(std::to_string(row.depth) + " " + std::to_string(row.marks.size()) + " " +
                                        std::to_string(row.cautions.size()) + " " + std::to_string(row.what.index()));
                        const bool stop = std::holds_alternative<card::Stop>(row.what);
                        CHECK(std::count(row.marks.begin(), row.marks.end(), true) > (stop ? -1 : 0));
                        if (const auto* step = std::get_if<card::Step>(&row.what)) CHECK(!step->text.empty());
                    }
                }
                const std::string printed = text::print(card);
                CHECK(printed.find('{') == std::string::npos); // no blank was left unfilled
                CHECK(printed.find('}') == std::string::npos);
            }
            shapes.push_back(std::move(shape));
        }
        for (const auto& shape : shapes) CHECK(shape == shapes.front());
    }
    CHECK(cards >= 6 * 10);
}

TEST_CASE("what is to be known of a part is said before the first fastener that holds it is taken out") {
    const auto shop = read_shop();
    const Made made = cards_of(*shop, "2026-0418", *labels::find("en"));
    const card::Card& card = named(made, "drum-brake-service");
    for (const card::Section& section : card.sections)
        for (const card::Row& row : section.rows) {
            const auto* step = std::get_if<card::Step>(&row.what);
            if (step == nullptr || step->text.find("drum screw") == std::string::npos) continue;
            REQUIRE(row.cautions.size() == 1);
            CHECK(row.cautions.front().hazard.find("dust") != std::string::npos);
            return;
        }
    FAIL("no step removes the drum screws");
}

TEST_CASE("a next service in another unit than the meter is told in whole ones of the meter") {
    const auto shop = read_shop();
    auto& jobs = shop->model.jobs;
    const auto job =
        std::find_if(jobs.begin(), jobs.end(), [](const auto& each) { return each.id.value == "2026-0412"; });
    REQUIRE(job != jobs.end());
    job->next_service->value.quantity = {3000, 0, true, units::Unit::mile}; // 12 460 + 3000 · 1.609344 = 17 288.032
    const Made made = cards_of(*shop, "2026-0412", *labels::find("en"));
    CHECK(named(made, "front-disc-service").findings.next_service == "next service at 17\u00a0288\u00a0km");
}

TEST_CASE("the front disc card says what was reckoned for this vehicle") {
    const auto shop = read_shop();
    const Made made = cards_of(*shop, "2026-0412", *labels::find("en"));
    const card::Card& card = named(made, "front-disc-service");
    CHECK(card.head.meter == "12\u00a0460\u00a0km");
    CHECK(card.findings.next_service == "next service at 18\u00a0460\u00a0km");

    const card::Step* torque = step_with(card, "Torque: lower guide bolt");
    REQUIRE(torque != nullptr);
    const auto& panel = std::get<std::vector<card::Torque>>(torque->panel);
    REQUIRE(panel.size() == 1);
    CHECK(panel[0].value == "23"); // the vehicle's own, over the catalogue's 22
    CHECK(panel[0].tolerance == "±10\u00a0%");
    CHECK(panel[0].second == "17\u00a0lbf·ft"); // 23 / 1.3558179483314004 = 16.96
    CHECK(panel[0].wrench == "wrench B");       // A ends at 20 N·m
    CHECK(panel[0].initials);
    CHECK(torque->second_check);
    CHECK(torque->second_check_note == "not by the one who did it");

    // q = 1.25 · 6000 / 12460 = 0.60193; r = (2.0 + 0.1 + q · 8.5) / (1 + q) = 4.5047, up to 0.1 mm: 4.6.
    const card::Step* measure = step_with(card, "Measure each lining");
    REQUIRE(measure != nullptr);
    const auto& readings = std::get<std::vector<card::Reading>>(measure->panel);
    REQUIRE(readings.size() == 2);
    CHECK(readings[0].keep == "keep ≥ 4.6\u00a0mm");
    CHECK(readings[0].limit == "at least 2.0\u00a0mm");
    REQUIRE(readings[0].bar);
    CHECK(readings[0].bar->limit.at == 160);
    CHECK(readings[0].bar->limit.text == "2.0");
    CHECK(readings[0].bar->keep.at == 496); // 160 + 840 · (4.6 − 2.0) / (8.5 − 2.0)
    CHECK(readings[0].bar->keep.text == "4.6");
    CHECK(readings[0].bar->as_new.at == 1000);

    // Two pads a side, both sides: only if they are bad. Grease 1 g a side.
    bool pads = false;
    for (const card::Line& line : card.before.may_need)
        pads = pads || (line.text == "inner brake pad" && line.amount == "2 ×");
    CHECK(pads);
    CHECK(card.before.renew.empty());
    bool grease = false;
    for (const card::Line& line : card.before.consumables)
        grease = grease || (line.text == "silicone brake grease" && line.amount == "2\u00a0g");
    CHECK(grease);

    bool bolt = false;
    bool locker = false;
    for (const card::CloseOutLine& line : card.close_out.lines) {
        bolt = bolt || line.text == "lower guide bolt at 23\u00a0N·m, left and right";
        locker = locker || line.field == "last applied __:__ + 20\u00a0min";
    }
    CHECK(bolt);
    CHECK(locker);
    CHECK(std::count(card.close_out.later.begin(), card.close_out.later.end(),
                     "medium thread-locker: full strength after 24\u00a0h") == 1);
}

TEST_CASE("what is critical and secured by fitting it has a second check, whether its step says so or not") {
    const auto shop = read_shop("brakes/drum-brake-service.yaml", "    second-check: true\n", "");
    const Made made = cards_of(*shop, "2026-0423", *labels::find("en"));
    std::size_t fitted = 0;
    for (const card::Card& card : made.cards)
        for (const card::Section& section : card.sections)
            for (const card::Row& row : section.rows)
                if (const auto* step = std::get_if<card::Step>(&row.what);
                    step != nullptr && step->text.find("shoe clip") != std::string::npos &&
                    step->text.find("Fit") != std::string::npos) {
                    ++fitted;
                    CHECK(step->second_check);
                }
    CHECK(fitted > 0);
}

TEST_CASE("why there is no keep figure is said as it is") {
    const auto notes = [](const std::string& file, const std::string& from, const std::string& to) {
        const auto shop = read_shop(file, from, to);
        std::string all;
        for (const card::Card& card : cards_of(*shop, "2026-0412", *labels::find("en")).cards)
            for (const card::Section& section : card.sections)
                for (const card::Row& row : section.rows)
                    if (const auto* step = std::get_if<card::Step>(&row.what))
                        if (const auto* readings = std::get_if<std::vector<card::Reading>>(&step->panel))
                            for (const card::Reading& reading : *readings) all += reading.note + "\n";
        return all;
    };
    const std::string size = "size when new or earlier readings not known";
    const std::string meter = "meter reading or next service not known";
    CHECK(notes("", "", "").find(size) == std::string::npos);
    const std::string no_size = notes("catalogue/disc-brake.yaml", "    new: 4.50 mm\n", "");
    CHECK(no_size.find(size) != std::string::npos);
    CHECK(no_size.find(meter) == std::string::npos);
}

TEST_CASE("a shop whose wrenches do not hold a torque gets a message, one without wrenches the torque to look for") {
    const auto small = read_shop("shop.yaml", "range: 10..60 N·m", "range: 100..160 N·m");
    const Made none = cards_of(*small, "2026-0412", *labels::find("en"));
    bool told = false;
    for (const auto& each : none.messages.all())
        told = told || (each.rule->name == "no-wrench" &&
                        each.text == "no wrench of the shop holds 23\u00a0N·m for the lower guide bolt");
    INFO(errors(none.messages));
    CHECK(told);

    const auto late = read_shop("jobs/2026-0412.yaml", "date: 2026-11-25", "date: 2027-03-02");
    const Made expired = cards_of(*late, "2026-0412", *labels::find("en"));
    CHECK(errors(expired.messages).find("in calibration on 2027-03-02, the day of job 2026-0412") != std::string::npos);
}

TEST_CASE("the close-out says how this card leaves things, whatever a procedure that it calls says of its own end") {
    const auto shop = read_shop();
    const labels::Labels& words = *labels::find("en");
    const auto says = [](const card::CloseOut& all, const std::string& what) {
        const auto in = [&](const std::string& text) { return text.find(what) != std::string::npos; };
        return std::any_of(all.lines.begin(), all.lines.end(), [&](const auto& line) { return in(line.text); }) ||
               std::any_of(all.later.begin(), all.later.end(), in);
    };
    // The battery lead is taken off by one called procedure and put on by another.
    const card::CloseOut fuel = named(cards_of(*shop, "2026-0418", words), "fuel-filter").close_out;
    CHECK(says(fuel, "fuel line"));
    CHECK_FALSE(says(fuel, "battery"));
    // Nuts that were torqued settle and are rechecked; those that were rechecked have settled.
    const card::CloseOut on = named(cards_of(*shop, "2026-0412", words), "front-wheels-on").close_out;
    CHECK(says(on, "front wheel nut at 90"));
    CHECK(says(on, "recheck the torque after 50"));
    const card::CloseOut again = named(cards_of(*shop, "2026-0429", words), "wheel-nut-recheck").close_out;
    CHECK(says(again, "front wheel nut at 90"));
    CHECK_FALSE(says(again, "recheck the torque"));
    // Pins are in the close-out like torques.
    CHECK(says(named(cards_of(*shop, "2026-0423", words), "hub-bearing").close_out, "split pin: in"));
}

TEST_CASE("where there is no cover sheet the card says the numbers of its wrenches, over the boxes for what was used") {
    const labels::Labels& words = *labels::find("en");
    const auto two = read_shop();
    CHECK(named(cards_of(*two, "2026-0429", words), "wheel-nut-recheck").close_out.wrenches.empty());
    const auto one = read_shop("jobs/2026-0429.yaml", "do: [wheel-nut-recheck, tyre-check]", "do: [wheel-nut-recheck]");
    const Made made = cards_of(*one, "2026-0429", words);
    const card::Card& card = named(made, "wheel-nut-recheck");
    CHECK(card.close_out.wrenches == "wrench C, no. FW-0092");
    CHECK(text::print(card).find("\nwrench C, no. FW-0092\ndone by") != std::string::npos);
    for (const pages::Paper paper : {pages::Paper::a4, pages::Paper::letter, pages::Paper::a5}) {
        messages::Messages said;
        const auto laid = pages::lay_out(card, paper, said);
        REQUIRE(laid);
        CHECK(pages::dump(*laid).find("| wrench C, no. FW-0092") != std::string::npos);
    }
}

TEST_CASE("who works alone checks again later: a box of its own, which asks for the time") {
    const auto alone = read_shop("shop.yaml", "second-check: other", "second-check: same-person-later");
    const Made made = cards_of(*alone, "2026-0412", *labels::find("en"));
    const card::Card& card = named(made, "front-disc-service");
    const card::Step* torque = step_with(card, "Torque: lower guide bolt");
    REQUIRE(torque != nullptr);
    CHECK(torque->second_check);
    CHECK(torque->second_check_note == "later, with a fresh eye; the same person, so not independent");
    CHECK(torque->second_check_time == "time");
    CHECK(text::print(card).find("________ time __:__") != std::string::npos);
    for (const pages::Paper paper : {pages::Paper::a4, pages::Paper::letter, pages::Paper::a5}) {
        messages::Messages said;
        const auto laid = pages::lay_out(card, paper, said);
        REQUIRE(laid);
        std::set<std::string> boxes;
        const std::function<void(const pages::Box&)> walk = [&](const pages::Box& box) {
            if (box.name.find("second-check") != std::string::npos) {
                boxes.insert(std::string(pages::name(box.role)) + " " + box.name);
                CHECK(pages::is_written_in(box.role));
            }
            for (const pages::Box& child : box.children) walk(child);
        };
        for (const pages::Page& page : laid->pages)
            for (const pages::Box& box : page.boxes) walk(box);
        CHECK(boxes ==
              std::set<std::string>{"initials box step-35/second-check/1", "initials box step-35/second-check/2",
                                    "entry box step-35/second-check-time/1", "entry box step-35/second-check-time/2"});
        const pages::FieldWords words = pages::field_words(card, *laid);
        CHECK(words.at("step-35/second-check-time/2") == "35. Torque: lower guide bolt · Second check · time · R");
    }
    const auto shop = read_shop();
    const Made other = cards_of(*shop, "2026-0412", *labels::find("en"));
    CHECK(step_with(named(other, "front-disc-service"), "Torque: lower guide bolt")->second_check_time.empty());
}
