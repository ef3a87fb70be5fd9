// What linking and fitting promise beyond their messages: figures are looked up key by key, a vehicle's differences reach
// whoever relates to what differs, repeats take in what they repeat, and no mutilated shop brings either down.
#include "fitted/fit.h"
#include "linked/link.h"
#include "messages/message.h"
#include "model/read.h"
#include "source/source.h"
#include "syntax/syntax.h"

#include "properties/read_shop.h"

#include <doctest/doctest.h>
#include <filesystem>
#include <fstream>
#include <map>
#include <random>
#include <sstream>

using namespace benchleaf;

namespace {

using Files = std::map<std::string, std::string>;

using Read = ReadShop;

std::string all(const messages::Messages& messages) {
    std::string text;
    for (const messages::Message& message : messages.all()) text += message.text + '\n';
    return text;
}

bool has_line(const std::string& text, const std::string& line) {
    std::istringstream lines(text);
    for (std::string each; std::getline(lines, each);) {
        const std::size_t begin = each.find_first_not_of(' ');
        if (begin != std::string::npos && each.substr(begin) == line) return true;
    }
    return false;
}

std::string procedure(const std::string& name, const std::string& keys, const std::string& steps) {
    return "procedure: " + name + "\ntitle: Work\nrevision: 1\n" + keys + "steps:\n" + steps;
}

Files demo() {
    Files files;
    const std::filesystem::path root = std::filesystem::path(BENCHLEAF_SOURCE_DIR) / "procedures";
    for (const auto& entry : std::filesystem::recursive_directory_iterator(root)) {
        if (entry.path().extension() != ".yaml") continue;
        std::ifstream in(entry.path(), std::ios::binary);
        std::ostringstream text;
        text << in.rdbuf();
        files[entry.path().lexically_relative(root).generic_string()] = text.str();
    }
    return files;
}

const char* const bolts = R"(catalogue: bolts
fasteners:
  a: { name: bolt a }
  b: { name: bolt b }
  c: { name: bolt c }
  d: { name: bolt d }
torques:
  a: { value: 10 N·m, threads: dry, source: the catalogue }
  b: { value: 10 N·m, threads: dry, source: the catalogue }
  c: { value: 10 N·m, threads: dry, source: the catalogue }
  d: { value: 10 N·m, threads: dry, source: the catalogue }
)";

} // namespace

TEST_CASE("a torque comes from the job, else the vehicle, else the procedure, else the catalogue") {
    const Read shop({
        {"catalogue/bolts.yaml", bolts},
        {"brakes/work.yaml", procedure("work", R"(uses: bolts
torques:
  b: { value: 20 N·m, source: the procedure }
  c: { value: 20 N·m, source: the procedure }
  d: { value: 20 N·m, source: the procedure }
)",
                                       "  - recheck: [a, b, c, d]\n")},
        {"vehicles/v.yaml", R"(vehicle: v
name: V
torques:
  c: { value: 30 N·m, source: the vehicle }
  d: { value: 30 N·m, source: the vehicle }
)"},
        {"jobs/j.yaml", R"(job: j
vehicle: v
date: 2026-11-25
do: work
torques: { d: { value: 40 N·m, source: the job } }
)"},
    });
    REQUIRE(all(shop.messages) == "");
    messages::Messages messages;
    const std::string job =
        fitted::dump(fitted::fit_job(*fitted::common_of(shop.linked), linked::JobId(std::size_t{0}), {}, messages));
    CHECK(has_line(job, "torque a: 10 N·m from catalogue, the catalogue"));
    CHECK(has_line(job, "torque b: 20 N·m from procedure, the procedure"));
    CHECK(has_line(job, "torque c: 30 N·m from vehicle, the vehicle"));
    CHECK(has_line(job, "torque d: 40 N·m from job, the job"));
    const fitted::Fitted without = fitted::fit_shop(shop.linked, messages);
    CHECK(has_line(fitted::dump(without), "torque d: 30 N·m from vehicle, the vehicle"));
    CHECK(all(messages) == "");
    const fitted::Row& row = without.fits.front().procedures.front().sections.front().rows.front();
    REQUIRE(row.targets.size() == 4);
    for (const fitted::Target& target : row.targets) {
        REQUIRE(target.torque);
        CHECK(target.torque->threads == model::ThreadState::dry); // key by key
    }
}

TEST_CASE("a source vouches for no value but its own") {
    const Read shop({
        {"catalogue/bolts.yaml", bolts},
        {"brakes/work.yaml", procedure("work", "uses: bolts\n", "  - recheck: a\n")},
        {"vehicles/v.yaml", "vehicle: v\nname: V\ntorques: { a: { value: 99 N·m } }\n"},
    });
    messages::Messages messages;
    const fitted::Fitted fitted = fitted::fit_shop(shop.linked, messages);
    CHECK(all(messages) == "nobody says where the torque of the bolt a comes from\n");
    CHECK(has_line(fitted::dump(fitted), "torque a: 99 N·m from vehicle"));
}

TEST_CASE("within is a minimum and a maximum in one, whichever way a level writes them") {
    const Read shop({
        {"catalogue/limits.yaml", R"(catalogue: limits
parts: { chain: chain }
limits:
  slack: { of: chain, within: 25..35 mm }
  wear: { of: chain, minimum: 2 mm, maximum: 9 mm }
)"},
        {"brakes/work.yaml", procedure("work", "uses: limits\n",
                                       "  - measure: [slack, wear]\n  - decide: [slack, wear]\n    if-not:\n"
                                       "      - Tell the customer.\n")},
        {"vehicles/v.yaml", "vehicle: v\nname: V\nlimits: { slack: { maximum: 40 mm }, wear: { within: 3..4 mm } }\n"},
    });
    REQUIRE(all(shop.messages) == "");
    messages::Messages messages;
    const std::string dump = fitted::dump(fitted::fit_shop(shop.linked, messages));
    CHECK(has_line(dump, "limit slack \"chain\": minimum 25 mm maximum 40 mm"));
    CHECK(has_line(dump, "limit wear \"chain\": within 3..4 mm"));
}

TEST_CASE("what a vehicle changes of an item reaches those that relate to it, and no other vehicle") {
    const Read shop({
        {"catalogue/parts.yaml", R"(catalogue: parts
parts: { cover: { name: cover, held-by: [old-bolt] }, sensor: { name: sensor, behind: [cover] } }
fasteners: { old-bolt: old bolt, new-bolt: new bolt, band: { name: band, only-on: { cover: banded } } }
)"},
        {"vehicles/v.yaml",
         "vehicle: v\nname: V\nitems: { cover: { held-by: [new-bolt, band] }, sensor: { behind: [] } }\n"},
        {"vehicles/w.yaml", "vehicle: w\nname: W\n"},
    });
    const auto find = [&](const std::string& id) {
        for (std::size_t i = 0; i < shop.linked.items.size(); ++i) {
            if (shop.linked.items[i].id == id) return linked::ItemId(i);
        }
        return linked::ItemId();
    };
    messages::Messages messages;
    const fitted::Fitted fitted = fitted::fit_shop(shop.linked, messages);
    REQUIRE(fitted.fits.size() == 2);
    using Ids = std::vector<linked::ItemId>;
    const linked::ItemId cover = find("cover");
    const auto item = [&](std::size_t fit, const std::string& id) -> const linked::Item& {
        return fitted.fits[fit].items[find(id).index()].is;
    };
    CHECK(item(0, "cover").held_by == Ids{find("new-bolt")}); // the band is not on it
    CHECK(item(0, "old-bolt").holds.empty());
    CHECK(item(0, "new-bolt").holds == Ids{cover});
    CHECK(item(1, "cover").held_by == Ids{find("old-bolt")});
    CHECK(item(1, "old-bolt").holds == Ids{cover});
    CHECK(item(1, "new-bolt").holds.empty());
    CHECK(item(1, "cover").covers == Ids{find("sensor")});
    CHECK(shop.linked.items[find("old-bolt").index()].holds == Ids{cover});
}

TEST_CASE("a repeat takes in the rows that it repeats, also where `when` leaves its first one out") {
    const auto steps = R"(  - Before.
  - say: Begin.
    id: begin
    when: { body: cart }
  - say: Go on.
    id: inner
  - again:
      from: inner
      until: Is it done?
      at-most: 2
      else:
        - stop: It is not.
  - again:
      from: begin
      until: Is all done?
      at-most: 3
      else:
        - stop: It is not.
  - After.
)";
    const Read shop({
        {"brakes/work.yaml", procedure("work", "", steps)},
        {"vehicles/v.yaml", "vehicle: v\nname: V\nhas: { body: cart }\n"},
        {"vehicles/w.yaml", "vehicle: w\nname: W\nhas: { body: trike }\n"},
    });
    REQUIRE(all(shop.messages) == "");
    messages::Messages messages;
    const fitted::Fitted fitted = fitted::fit_shop(shop.linked, messages);
    CHECK(all(messages) == "");
    for (std::size_t i = 0; i < 2; ++i) {
        const fitted::Rows& rows = fitted.fits[i].procedures.front().sections.front().rows;
        REQUIRE(rows.size() == 3);
        const fitted::Row& outer = rows[1];
        CHECK(outer.kind == fitted::RowKind::repeat);
        CHECK(outer.at_most == 3);
        REQUIRE(outer.body.size() == (i == 0 ? 2 : 1));
        const fitted::Row& inner = outer.body.back();
        CHECK(inner.kind == fitted::RowKind::repeat);
        CHECK(inner.at_most == 2);
        REQUIRE(inner.body.size() == 1);
        CHECK(inner.body.front().id == linked::StepId(std::size_t{2}));
    }
}

TEST_CASE("`only` narrows the rows of a bound section and the items of another, and what is below them") {
    const Read shop({
        {"catalogue/lamps.yaml",
         "catalogue: lamps\nparts: { lamp: { name: lamp, each: side }, tyre: { name: tyre, each: rear } }\n"},
        {"brakes/work.yaml", procedure("work", "uses: lamps\neach: side\n", R"(  - inspect: lamp
    only: { side: left }
  - inspect: tyre
    only: { rear: right }
  - section: All
    once: true
  - ask: Is it lit?
    only: { side: right }
    if-so:
      - inspect: lamp
  - inspect: lamp
)")},
        {"vehicles/v.yaml", "vehicle: v\nname: V\naxes: { rear: [left, right] }\n"},
        {"vehicles/w.yaml", "vehicle: w\nname: W\naxes: { rear: [middle, right] }\nonly: { tyre: { rear: right } }\n"},
    });
    REQUIRE(all(shop.messages) == "");
    messages::Messages messages;
    const fitted::Fitted fitted = fitted::fit_shop(shop.linked, messages);
    CHECK(all(messages) == "");
    const auto& sections = fitted.fits.front().procedures.front().sections;
    using Values = std::vector<fitted::AxisValue>;
    CHECK(sections[0].bound);
    CHECK(sections[0].rows[0].only == Values{0});
    CHECK(sections[0].rows[0].targets[0].values == Values{});
    CHECK(sections[0].rows[1].only == Values{});
    CHECK(sections[0].rows[1].targets[0].values == Values{1});
    CHECK_FALSE(sections[1].bound);
    CHECK(sections[1].rows[0].only == Values{1});
    CHECK(sections[1].rows[0].if_so[0].targets[0].values == Values{1});
    CHECK(sections[1].rows[1].targets[0].values == Values{});
    CHECK(fitted.fits[0].items[1].instances == 2);
    CHECK(fitted.fits[1].items[1].instances == 1);
}

TEST_CASE("the demo shop links and fits without a word, the same each time") {
    const Files files = demo();
    const Read shop(files);
    messages::Messages messages;
    const fitted::Fitted fitted = fitted::fit_shop(shop.linked, messages);
    CHECK(all(shop.messages) == "");
    CHECK(all(messages) == "");
    CHECK(fitted.fits.size() == shop.linked.vehicles.size());
    for (const linked::Job& job : shop.linked.jobs) {
        const fitted::Fitted one = fitted::fit_job(*fitted::common_of(shop.linked), job.id, {}, messages);
        CHECK(one.fits.front().sequence.size() == job.procedures.size());
    }
    CHECK(all(messages) == "");
    const Read again(files);
    CHECK(linked::dump(again.linked) == linked::dump(shop.linked));
}

// Lines are taken out, doubled and swapped, and words exchanged, at random but the same each time.
TEST_CASE("no mutilated shop brings linking or fitting down") {
    const Files whole = demo();
    std::vector<std::string> paths;
    std::vector<std::string> words;
    for (const auto& [path, text] : whole) {
        paths.push_back(path);
        std::istringstream stream(text);
        for (std::string word; stream >> word;) words.push_back(word);
    }
    std::mt19937 random(20261125);
    const auto pick = [&random](std::size_t below) { return static_cast<std::size_t>(random() % below); };
    std::size_t said = 0;
    for (int round = 0; round < 60; ++round) {
        Files files = whole;
        for (std::size_t wounds = 0; wounds < 12; ++wounds) {
            std::string& text = files[paths[pick(paths.size())]];
            std::vector<std::string> lines;
            std::istringstream stream(text);
            for (std::string line; std::getline(stream, line);) lines.push_back(line);
            if (lines.empty()) continue;
            const std::size_t at = pick(lines.size());
            switch (pick(4)) {
            case 0:
                lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(at));
                break;
            case 1:
                lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(at), lines[at]);
                break;
            case 2:
                std::swap(lines[at], lines[pick(lines.size())]);
                break;
            default: {
                const std::size_t space = lines[at].find_last_of(" [{");
                if (space != std::string::npos) lines[at] = lines[at].substr(0, space + 1) + words[pick(words.size())];
                break;
            }
            }
            text.clear();
            for (const std::string& line : lines) text += line + '\n';
        }
        if (pick(4) == 0) files.erase(paths[pick(paths.size())]);
        Read shop(files);
        linked::find_unused(shop.linked, shop.sources, shop.messages);
        (void)fitted::dump(fitted::fit_shop(shop.linked, shop.messages));
        for (const linked::Job& job : shop.linked.jobs)
            (void)fitted::fit_job(*fitted::common_of(shop.linked), job.id, {}, shop.messages);
        (void)linked::dump(shop.linked);
        said += shop.messages.all().size();
    }
    CHECK(said > 60);
}
