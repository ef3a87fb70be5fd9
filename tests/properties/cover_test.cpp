// The cover sheet adds up what the cards say: its lists are compared with those printed on the cards, whose figures are read and added
// here by other means than the program's; and with lists made up at random.
#include "card/build.h"
#include "card/cover.h"
#include "driver/pipeline.h"
#include "fitted/fit.h"
#include "labels/labels.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <optional>
#include <random>
#include <set>
#include <string>
#include <vector>

using namespace benchleaf;

namespace {

// What a line says, in millionths of a base unit, by dimension: litres, grams, metres, drops, pieces. 0.42 L and 420 mL are one figure.
struct Sum {
    long long least = 0;
    long long most = 0;
    bool operator==(const Sum&) const = default;
};
using Amounts = std::map<std::string, Sum>;

long long millionths(std::string_view number) {
    long long whole = 0;
    int places = -1;
    for (const char c : number) {
        if (c == '.') {
            places = 0;
            continue;
        }
        REQUIRE(c >= '0');
        REQUIRE(c <= '9');
        whole = whole * 10 + (c - '0');
        if (places >= 0) ++places;
    }
    for (int i = std::max(places, 0); i < 6; ++i) whole *= 10;
    return whole;
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; at += to.size())
        text.replace(at, from.size(), to);
    return text;
}

// "60–90 mL", "4 drops and 10 mL", "2 ×", "at least 150 mL".
Amounts read(std::string text) {
    static const std::map<std::string, std::pair<std::string, long long>> units = {
        {"L", {"volume", 1000}}, {"mL", {"volume", 1}},   {"g", {"mass", 1}},       {"kg", {"mass", 1000}},
        {"drop", {"drops", 1}},  {"drops", {"drops", 1}}, {"piece", {"pieces", 1}}, {"pieces", {"pieces", 1}},
        {"×", {"pieces", 1}},    {"m", {"length", 1000}}, {"cm", {"length", 10}},   {"mm", {"length", 1}},
    };
    Amounts amounts;
    text = replaced(replaced(std::move(text), "\u00a0", " "), "at least ", "");
    while (!text.empty()) {
        const std::size_t comma = text.find(", "), next = text.find(" and ");
        const std::size_t end = std::min(comma, next);
        std::string part = text.substr(0, end);
        text = end == std::string::npos ? "" : text.substr(end + (end == comma ? 2 : 5));
        // Thousands are parted by a blank, as is the unit: the last word is the unit.
        const std::size_t blank = part.rfind(' ');
        REQUIRE(blank != std::string::npos);
        const auto unit = units.find(part.substr(blank + 1));
        REQUIRE_MESSAGE(unit != units.end(), part);
        const std::string number = replaced(part.substr(0, blank), " ", "");
        const std::size_t dash = number.find("–");
        const std::string least = number.substr(0, dash);
        const std::string most = dash == std::string::npos ? number : number.substr(dash + std::string("–").size());
        Sum& sum = amounts[unit->second.first];
        sum.least += millionths(least) * unit->second.second;
        sum.most += millionths(most) * unit->second.second;
    }
    return amounts;
}

struct Merged {
    Amounts amounts;
    bool open = false; // some card gives no amount
    std::vector<std::uint32_t> cards;
};

using ListOf = std::vector<card::Line> card::Before::*;

std::map<std::string, Merged> merged(const driver::Work& work, ListOf list, bool pieces) {
    std::map<std::string, Merged> all;
    for (const driver::PagedCard& each : work.cards)
        for (const card::Line& line : each.card.before.*list) {
            Merged& to = all[line.text];
            const std::string amount = line.amount.empty() && pieces ? "1 ×" : line.amount;
            if (amount.empty()) to.open = true;
            for (const auto& [of, sum] : read(amount)) {
                to.amounts[of].least += sum.least;
                to.amounts[of].most += sum.most;
            }
            if (to.cards.empty() || to.cards.back() != each.card.head.card) to.cards.push_back(each.card.head.card);
        }
    return all;
}

const card::CoverList* named(const card::Cover& cover, const std::string& name) {
    for (const card::CoverList& list : cover.fetch)
        if (list.name == name) return &list;
    return nullptr;
}

std::size_t compare(const driver::Work& work, const std::string& name, ListOf of, bool pieces) {
    const auto expected = merged(work, of, pieces);
    const card::CoverList* list = named(work.cover->cover, name);
    REQUIRE((list != nullptr) == !expected.empty());
    if (list == nullptr) return 0;
    // Two parts of one name are two lines on the cover sheet, as they are two parts; a card tells them apart no more than by its own title.
    std::map<std::string, Merged> says;
    for (const card::CoverLine& line : list->lines) {
        Merged& to = says[line.text];
        for (const auto& [dimension, sum] : read(line.amount.empty() && pieces ? "1 ×" : line.amount)) {
            to.amounts[dimension].least += sum.least;
            to.amounts[dimension].most += sum.most;
        }
        to.open = to.open || line.amount.empty() || line.amount.find("at least") != std::string::npos;
        to.cards.insert(to.cards.end(), line.cards.begin(), line.cards.end());
        std::sort(to.cards.begin(), to.cards.end());
        to.cards.erase(std::unique(to.cards.begin(), to.cards.end()), to.cards.end());
    }
    CHECK(says.size() == expected.size());
    for (const auto& each : says) {
        const std::string& text = each.first;
        const auto& line = each.second;
        CAPTURE(text);
        const auto found = expected.find(text);
        REQUIRE(found != expected.end());
        CHECK(line.cards == found->second.cards);
        CHECK(line.amounts == found->second.amounts);
        if (!pieces) CHECK(line.open == found->second.open);
    }
    return says.size();
}

// Tools are wrenches, sockets and what is left; on the cards they stand in one list.
std::size_t compare_tools(const driver::Work& work) {
    std::map<std::string, std::vector<std::uint32_t>> expected;
    for (const driver::PagedCard& each : work.cards)
        for (const card::Line& line : each.card.before.tools) {
            const std::string text = line.text.substr(0, line.text.find(" (calibrated"));
            auto& cards = expected[text];
            if (cards.empty() || cards.back() != each.card.head.card) cards.push_back(each.card.head.card);
        }
    std::map<std::string, std::vector<std::uint32_t>> says;
    for (const char* name : {"wrench", "socket", "tool"})
        if (const card::CoverList* list = named(work.cover->cover, name))
            for (const card::CoverLine& line : list->lines) CHECK(says.emplace(line.text, line.cards).second);
    CHECK(says == expected);
    return says.size();
}

// Each torque of each card, in the order of work, with the step where it stands.
std::size_t compare_torques(const driver::Work& work) {
    const std::vector<card::TorqueLine>& lines = work.cover->cover.torques;
    std::size_t at = 0;
    for (const driver::PagedCard& each : work.cards)
        for (const card::Section& section : each.card.sections)
            for (const card::Row& row : section.rows) {
                const auto* step = std::get_if<card::Step>(&row.what);
                const auto* torques = step == nullptr ? nullptr : std::get_if<std::vector<card::Torque>>(&step->panel);
                if (torques == nullptr) continue;
                for (const card::Torque& torque : *torques) {
                    REQUIRE(at < lines.size());
                    const card::TorqueLine& line = lines[at++];
                    CAPTURE(line.name);
                    CAPTURE(line.about);
                    CHECK(line.card == each.card.head.card);
                    CHECK(line.step == row.number);
                    CHECK(line.name.starts_with(torque.name));
                    if (torque.stages.empty()) CHECK(line.value == torque.value + "\u00a0" + torque.unit);
                    CHECK(line.value.find(torque.value) != std::string::npos);
                    CHECK((torque.left_hand.empty() || line.about.find(torque.left_hand) != std::string::npos));
                    const bool of_shop = named(work.cover->cover, "wrench") != nullptr && !torque.wrench.empty() &&
                                         !torque.wrench.starts_with("torque wrench for");
                    if (of_shop) CHECK(line.about.find(torque.wrench + " · card") != std::string::npos);
                }
            }
    CHECK(at == lines.size());
    return at;
}

struct Shop {
    driver::Files files;
    std::unique_ptr<driver::Shopful> linked;
};

Shop read_shop(const std::string& folder) {
    auto read = driver::read_shop(folder);
    REQUIRE(read.ok());
    Shop shop{std::move(read.value().files), nullptr};
    shop.linked = driver::link_shop(shop.files);
    return shop;
}

} // namespace

TEST_CASE("what the cover sheet says is to be fetched is what all cards say together") {
    std::vector<std::string> folders{BENCHLEAF_SOURCE_DIR "/procedures"};
    for (const auto& folder : std::filesystem::directory_iterator(BENCHLEAF_SOURCE_DIR "/tests/valid"))
        if (folder.is_directory()) folders.push_back(folder.path().string());
    std::size_t lines = 0, torques = 0, covers = 0;
    for (const std::string& folder : folders) {
        const Shop shop = read_shop(folder);
        driver::PrintOptions options;
        options.language = "en";
        for (std::size_t job = 0; job < shop.linked->linked.jobs.size(); ++job) {
            const auto work = driver::make_job(*shop.linked, linked::JobId(job), options);
            CAPTURE(folder);
            CAPTURE(work->name);
            REQUIRE(!work->cards.empty());
            const model::Job& given = *shop.linked->linked.jobs[job].source;
            REQUIRE(work->cover.has_value() == (work->cards.size() > 1 || given.customer || given.note));
            if (!work->cover) continue;
            ++covers;
            lines += compare(*work, "consumable", &card::Before::consumables, false);
            lines += compare(*work, "renew", &card::Before::renew, true);
            lines += compare(*work, "may-need", &card::Before::may_need, true);
            lines += compare_tools(*work);
            torques += compare_torques(*work);
            std::set<std::string> protection;
            for (const driver::PagedCard& each : work->cards)
                protection.insert(each.card.before.protection.begin(), each.card.before.protection.end());
            const card::CoverList* list = named(work->cover->cover, "protection");
            CHECK((list == nullptr ? 0 : list->lines.size()) == protection.size());
        }
    }
    CHECK(covers >= 6);
    CHECK(lines > 150);
    CHECK(torques > 40);
}

TEST_CASE("amounts made up at random add up exactly, and what cannot be added stays apart") {
    const Shop shop = read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    const linked::Linked& linked = shop.linked->linked;
    messages::Messages said;
    std::size_t job = 0;
    while (linked.jobs[job].source->id.value != "2026-0418") ++job;
    const fitted::Fitted fitted = fitted::fit_job(*fitted::common_of(linked), linked::JobId(job), {}, said);
    const auto proved = proof::prove_job(fitted, 0, said);
    REQUIRE(proved);
    std::mt19937 random(20261127);
    const auto below = [&](std::size_t n) { return static_cast<std::size_t>(random() % n); };
    static constexpr units::Unit units[] = {units::Unit::millilitre, units::Unit::litre, units::Unit::gram,
                                            units::Unit::kilogram,   units::Unit::drop,  units::Unit::piece};
    for (int round = 0; round < 200; ++round) {
        std::vector<card::Needs> needs(proved->fit().sequence.size());
        std::map<std::string, Amounts> expected;
        std::map<std::string, std::vector<std::uint32_t>> cards;
        std::set<std::string> open;
        for (std::size_t i = 0; i < needs.size(); ++i) {
            std::set<std::size_t> used;
            for (std::size_t n = below(5); n > 0; --n) {
                const std::size_t id = below(5);
                if (!used.insert(id).second) continue;
                card::Needs::Consumable takes{linked::ConsumableId(id), {}};
                const std::string& name = linked.consumables[id].name;
                cards[name].push_back(static_cast<std::uint32_t>(i + 1));
                for (std::size_t k = below(3); k > 0; --k) {
                    units::Quantity least, most;
                    least.unit = most.unit = units[below(std::size(units))];
                    const bool counted = least.unit == units::Unit::drop || least.unit == units::Unit::piece;
                    least.decimals = most.decimals = counted ? 0 : static_cast<std::uint8_t>(below(3));
                    least.digits = static_cast<std::int64_t>(1 + below(900));
                    most.digits = least.digits + (below(2) == 0 ? 0 : static_cast<std::int64_t>(below(500)));
                    takes.amounts.push_back({least, most});
                    for (const auto& [of, sum] : read(replaced(units::print_number(least), "\u00a0", "") + "–" +
                                                      replaced(units::print(most), "\u00a0", " "))) {
                        expected[name][of].least += sum.least;
                        expected[name][of].most += sum.most;
                    }
                }
                if (takes.amounts.empty()) open.insert(name);
                needs[i].consumables.push_back(std::move(takes));
            }
        }
        const auto cover = card::build_cover(*proved, needs, *labels::find("en"), said);
        REQUIRE(cover);
        const card::CoverList* list = named(*cover, "consumable");
        CHECK((list == nullptr ? 0 : list->lines.size()) == cards.size());
        if (list == nullptr) continue;
        for (const card::CoverLine& line : list->lines) {
            CAPTURE(line.text);
            CAPTURE(line.amount);
            CHECK(line.cards == cards[line.text]);
            CHECK(read(line.amount) == expected[line.text]);
            CHECK((line.amount.find("at least") != std::string::npos) ==
                  (open.contains(line.text) && !line.amount.empty()));
        }
    }
}

TEST_CASE(
    "a job of one card has a cover sheet only where somebody said something; a cover sheet alone names the customer") {
    auto files = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    REQUIRE(files.ok());
    const auto work = [&](const std::string& more) {
        driver::Files changed = files.value().files;
        changed["jobs/one.yaml"] =
            "job: one\nvehicle: ostrel-haul-300\nidentity: { registration: TX 1 }\nmeter: 100 km\n"
            "next-service: +100 km\ndate: 2026-11-25\ndo: [tyre-check]\n" +
            more;
        static std::vector<std::unique_ptr<driver::Shopful>> kept;
        kept.push_back(driver::link_shop(changed));
        const auto& jobs = kept.back()->linked.jobs;
        std::size_t job = 0;
        while (jobs[job].source->id.value != "one") ++job;
        return driver::make_job(*kept.back(), linked::JobId(job), {});
    };
    CHECK(work("")->cards.size() == 1);
    CHECK(!work("")->cover);
    const auto named_one = work("customer: R. Alder\n");
    REQUIRE(named_one->cover);
    CHECK(named_one->cover->cover.customer == "R. Alder");
    const auto said = work("note: It wanders.\n");
    REQUIRE(said->cover);
    CHECK(said->cover->cover.says == "It wanders.");
    for (const auto* each : {&named_one, &said}) {
        const std::string card = card::dump((*each)->cards.front().card) + pages::dump((*each)->cards.front().pages);
        CHECK(card.find("Alder") == std::string::npos);
        CHECK(card.find("wanders") == std::string::npos);
    }
    // The same card, whoever brought it: its digest says so.
    CHECK(named_one->cards.front().card.head.digest == said->cards.front().card.head.digest);
}
