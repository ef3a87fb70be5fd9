// The forms of a card besides paper: text keeps its width and holds every word, JSON follows its schema, and the plain dump tells any two
// cards apart.
#include "card/build.h"
#include "labels/labels.h"
#include "properties/sample_card.h"
#include "text/text.h"
#include "text/wrap.h"
#include "json/json.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

using namespace benchleaf;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> all;
    std::stringstream in(text);
    for (std::string line; std::getline(in, line);) all.push_back(line);
    return all;
}

} // namespace

TEST_CASE("lines break where they may, and never pass the width") {
    using text::wrap;
    CHECK(wrap("a bolt left loose", 6, "en") == std::vector<std::string>{"a bolt", "left", "loose"});
    CHECK(wrap("keep 24\u00a0N·m here", 9, "en") == std::vector<std::string>{"keep", "24 N·m", "here"});
    CHECK(wrap("", 10, "en") == std::vector<std::string>{""});
    CHECK(wrap("abcdefgh", 3, "en") == std::vector<std::string>{"abc", "def", "gh"});
    CHECK(wrap("one\ntwo", 10, "en") == std::vector<std::string>{"one", "two"});
    CHECK(wrap("a\x1b[31mb", 20, "en") == std::vector<std::string>{"a?[31mb"});
    CHECK(text::cells("Schließe ΕΛΛ") == 12);
    CHECK(text::cells("e\u0301") == 1); // a combining accent takes no cell
    for (const char* sample : {"Ein Halteband-Schraubverschluss, fest angezogen; dann: prüfen.",
                               "Σφίξε το μπουλόνι με 24\u00a0N·m, αριστερά και δεξιά.",
                               "http://example.invalid/aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"}) {
        for (std::size_t width = 1; width < 70; ++width) {
            std::string joined;
            for (const std::string& line : wrap(sample, width, "en")) {
                CHECK(text::cells(line) <= width);
                joined += line;
            }
            // Nothing is lost but blanks.
            const auto without_blanks = [](std::string text) {
                std::string kept;
                for (std::size_t i = 0; i < text.size(); ++i) {
                    if (text[i] == ' ') continue;
                    if (text.compare(i, 2, "\u00a0") == 0) {
                        ++i;
                        continue;
                    }
                    kept += text[i];
                }
                return kept;
            };
            CHECK(without_blanks(joined) == without_blanks(sample));
        }
    }
}

TEST_CASE("no line of a card is wider than asked for, at any width and in any language") {
    for (card::Card card : {sample::sketch_card(), sample::full_card(), sample::blank_card()}) {
        for (const labels::Labels& language : labels::languages()) {
            card.language = language.language;
            for (const std::size_t width : {40U, 56U, 72U, 80U, 100U, 132U}) {
                for (const std::string& line : lines_of(text::print(card, {width}))) {
                    INFO(width, ": ", line);
                    CHECK(text::cells(line) <= width);
                }
            }
        }
    }
}

TEST_CASE("no line of a cover sheet is wider than asked for, and all of it is there") {
    for (const std::size_t width : {40U, 56U, 80U, 132U}) {
        card::Cover cover = sample::cover();
        for (const bool signs : {true, false}) {
            if (!signs) cover.signs.clear();
            const std::string printed = text::print(cover, {width});
            for (const std::string& line : lines_of(printed)) {
                INFO(width, ": ", line);
                CHECK(text::cells(line) <= width);
            }
            for (const char* says : {"R. Alder", "squeals", "TX 30 418", "no. FW-0118", "23 N·m", "4 drops and",
                                     "(1–3)", "18 460 km", "old mill"})
                CHECK_MESSAGE(printed.find(says) != std::string::npos, says);
            CHECK((printed.find("  AB  [ ]") != std::string::npos) == signs);
            CHECK((printed.find("name · Does the work ") != std::string::npos) == !signs);
        }
    }
}

TEST_CASE("numbers stand in one column, and every step is there once") {
    const std::string printed = text::print(sample::sketch_card());
    for (int number = 1; number <= 23; ++number) {
        const std::string start = std::string(number < 10 ? 3 : 2, ' ') + std::to_string(number) + "  ";
        std::size_t found = 0;
        for (const std::string& line : lines_of(printed)) found += line.starts_with(start) ? 1 : 0;
        INFO(start);
        CHECK(found == 1);
    }
    CHECK(printed.find("23 N·m ±10 %         17 lbf·ft") != std::string::npos);
    CHECK(printed.find("keep ≥ 4.6 mm") != std::string::npos);
}

TEST_CASE("JSON follows docs/card.schema.json") {
    namespace fs = std::filesystem;
    const fs::path folder = fs::path(BENCHLEAF_BINARY_DIR) / "json_test";
    fs::create_directories(folder);
    std::string command =
        "python3 -c 'import sys, json, jsonschema\n"
        "schema = json.load(open(sys.argv[1]))\n"
        "jsonschema.Draft7Validator.check_schema(schema)\n"
        "for path in sys.argv[2:]: jsonschema.Draft7Validator(schema).validate(json.load(open(path)))\n"
        "bad = json.load(open(sys.argv[2])); bad[\"head\"][\"odd\"] = 1\n"
        "sys.exit(0 if list(jsonschema.Draft7Validator(schema).iter_errors(bad)) else 3)\n' '" +
        std::string(BENCHLEAF_SOURCE_DIR) + "/docs/card.schema.json'";
    const std::pair<const char*, card::Card> cards[] = {
        {"sketch", sample::sketch_card()}, {"full", sample::full_card()}, {"blank", sample::blank_card()}};
    for (const auto& [name, card] : cards) {
        const fs::path path = folder / (std::string(name) + ".json");
        std::ofstream(path) << json::print(card);
        command += " '" + path.string() + "'";
    }
    const card::Card sketch = sample::sketch_card(), full = sample::full_card();
    const card::Cover cover = sample::cover();
    const std::pair<const char*, std::string> more[] = {
        {"cover", json::print(cover)},
        {"job", json::print("2026-0412", &cover, {&sketch, &full})},
        {"one", json::print("2026-0413", nullptr, {&sketch})},
        {"array", "[" + json::print("2026-0412", &cover, {&sketch}) + "]"}};
    for (const auto& [name, text] : more) {
        const fs::path path = folder / (std::string(name) + ".json");
        std::ofstream(path) << text;
        command += " '" + path.string() + "'";
    }
    if (std::system("python3 -c 'import jsonschema' 2> /dev/null") != 0) {
        MESSAGE("python3-jsonschema is not installed: the schema was not tried");
        return;
    }
    CHECK(std::system(command.c_str()) == 0);
}

TEST_CASE("JSON holds what the card holds") {
    const card::Card card = sample::full_card();
    const auto value = nlohmann::json::parse(json::print(card));
    CHECK(value["head"]["job"] == "2026-0412");
    CHECK(value["sections"].size() == card.sections.size());
    std::size_t rows = 0;
    for (const auto& section : value["sections"]) rows += section["rows"].size();
    std::size_t wanted = 0;
    for (const auto& section : card.sections) wanted += section.rows.size();
    CHECK(rows == wanted);
    CHECK(value["sections"][0]["rows"][0]["torques"][0]["order"] == "1 3 5 2 4 6");
    CHECK(value["sections"][1]["rows"][1]["no"]["goes"] == "→ 6 to 11");
}

TEST_CASE("JSON of a job holds its cover sheet and its cards") {
    const card::Cover cover = sample::cover();
    const card::Card card = sample::full_card();
    const auto value = nlohmann::json::parse(json::print("2026-0412", &cover, {&card, &card}));
    CHECK(value["job"] == "2026-0412");
    CHECK(value["cards"].size() == 2);
    CHECK(value["cards"][1] == nlohmann::json::parse(json::print(card)));
    CHECK(value["cover"] == nlohmann::json::parse(json::print(cover)));
    CHECK(value["cover"]["customer"] == "R. Alder");
    CHECK(value["cover"]["torques"][1]["name"] == "front wheel nut");
    CHECK(value["cover"]["rule"] == cover.check_rule);
    CHECK(value["cover"]["fetch"][1]["lines"][1]["cards"] == nlohmann::json::parse("[1, 2, 3]"));
    CHECK(!nlohmann::json::parse(json::print("2026-0413", nullptr, {&card})).contains("cover"));
}

TEST_CASE("a changed figure or word changes the dump of a cover sheet") {
    const std::string before = card::dump(sample::cover());
    const auto changed = [&](auto change) {
        card::Cover other = sample::cover();
        change(other);
        CHECK(card::dump(other) != before);
    };
    changed([](card::Cover& c) { c.says += "!"; });
    changed([](card::Cover& c) { c.customer.clear(); });
    changed([](card::Cover& c) { c.fetch[2].lines[0].amount = "5 drops and 10 mL"; });
    changed([](card::Cover& c) { c.torques[0].value = "24 N·m"; });
    changed([](card::Cover& c) { c.torques[1].step = 14; });
    changed([](card::Cover& c) { c.torques[1].about.clear(); });
    changed([](card::Cover& c) { c.stopped.clear(); });
    changed([](card::Cover& c) { c.check_rule.clear(); });
    changed([](card::Cover& c) { c.fetch[0].lines[0].about.clear(); });
    changed([](card::Cover& c) { c.fetch[1].lines[1].cards.pop_back(); });
    changed([](card::Cover& c) { c.cards.pop_back(); });
    changed([](card::Cover& c) { c.signs.pop_back(); });
    card::Cover sealed = sample::cover();
    card::seal(sealed, std::string(64, 'a'));
    CHECK(card::dump(sealed) == before);
    CHECK(sealed.head.digest == "aaaa aaaa aaaa aaaa");
}

TEST_CASE("a changed figure, word or box changes the dump; the digest itself does not") {
    const card::Card card = sample::full_card();
    const std::string before = card::dump(card);
    card::Card sealed = card;
    card::seal(sealed, std::string(64, 'a'));
    CHECK(card::dump(sealed) == before);
    CHECK(sealed.head.digest == "aaaa aaaa aaaa aaaa");
    CHECK(sealed.head.code.ends_with(" aaaaaaaaaaaaaaaa"));

    std::vector<std::string> all{before};
    const auto changed = [&](auto change) {
        card::Card other = card;
        change(other);
        all.push_back(card::dump(other));
    };
    auto& rows = card.sections[0].rows;
    REQUIRE(!rows.empty());
    changed([](card::Card& c) {
        std::get<std::vector<card::Torque>>(std::get<card::Step>(c.sections[0].rows[0].what).panel)[0].value = "91";
    });
    changed([](card::Card& c) {
        std::get<std::vector<card::Torque>>(std::get<card::Step>(c.sections[0].rows[0].what).panel)[0].initials = false;
    });
    changed([](card::Card& c) { std::get<card::Step>(c.sections[0].rows[0].what).second_check = false; });
    changed([](card::Card& c) { c.sections[0].rows[0].marks[1] = false; });
    changed([](card::Card& c) { c.sections[0].rows[0].cautions.pop_back(); });
    changed([](card::Card& c) { c.sections[0].columns[1] = "X"; });
    changed([](card::Card& c) { c.close_out.lines.pop_back(); });
    changed([](card::Card& c) { c.before.states[0] = "front end: down\nfoo: bar"; });
    changed([](card::Card& c) { c.before.states[0] = "front end: down\\nfoo: bar"; });
    for (std::size_t i = 0; i < all.size(); ++i)
        for (std::size_t j = i + 1; j < all.size(); ++j) CHECK(all[i] != all[j]);
}
