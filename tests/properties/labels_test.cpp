// Every language says everything: the build refuses a missing key, and here the blanks, forms and letters are looked at.
#include "labels/labels.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

using namespace benchleaf::labels;

TEST_CASE("six languages, English first") {
    std::vector<std::string> found;
    for (const Labels& each : languages()) found.emplace_back(each.language);
    CHECK(found == std::vector<std::string>{"en", "de", "el", "es", "fr", "pl"});
    CHECK(find("de-AT")->language == "de");
    CHECK(find("ar") == nullptr);
    CHECK(find("") == nullptr);
}

TEST_CASE("a blank is filled in order or by number, and left alone without a value") {
    CHECK(fill("{} of {}", {"1", "2"}) == "1 of 2");
    CHECK(fill("{2} vor {1}", {"a", "b"}) == "b vor a");
    CHECK(fill("{} of {}", {"1"}) == "1 of {}");
    CHECK(fill("{}", {"{}"}) == "{}"); // a value is not filled again
    CHECK(fill("{9} {x} {", {"1"}) == "{9} {x} {");
}

TEST_CASE("where an answer leads to the close-out, it is called as it is headed") {
    for (const Labels& each : languages()) {
        const std::string goes(each.text(Key::goes_close_out));
        const std::string word = goes.substr(std::string("→ ").size());
        const std::string title(each.text(Key::close_out));
        CAPTURE(title);
        // But for the capital, which is a letter of one byte or of two.
        const std::size_t first = (static_cast<unsigned char>(word[0]) & 0x80U) == 0 ? 1 : 2;
        REQUIRE(word.size() > first);
        CHECK(title.substr(first, word.size() - first) == word.substr(first));
    }
}

TEST_CASE("lists") {
    const Labels& en = *find("en");
    const std::vector<std::string> parts{"left", "right", "middle"};
    CHECK(join(en, {}) == "");
    CHECK(join(en, std::span(parts).first(1)) == "left");
    CHECK(join(en, std::span(parts).first(2)) == "left and right");
    CHECK(join(en, parts) == "left, right and middle");
    CHECK(join(*find("pl"), std::span(parts).first(2)) == "left i right");
}

// Unicode CLDR plural rules (from memory): pl 1 one, 2-4 few but not 12-14, 5 many, 1.5 other; fr 0 and 1.5 one.
TEST_CASE("counted things take the form of their number") {
    const auto drop = [](const char* language, std::int64_t digits, unsigned decimals = 0) {
        return std::string(counted(*find(language), Key::unit_drop, digits, decimals));
    };
    CHECK(drop("en", 1) == "drop");
    CHECK(drop("en", 0) == "drops");
    CHECK(drop("en", 15, 1) == "drops");
    CHECK(drop("fr", 0) == "goutte");
    CHECK(drop("fr", 15, 1) == "goutte");
    CHECK(drop("fr", 2) == "gouttes");
    CHECK(drop("pl", 1) == "kropla");
    CHECK(drop("pl", 3) == "krople");
    CHECK(drop("pl", 12) == "kropli");
    CHECK(drop("pl", 22) == "krople");
    CHECK(counted(*find("pl"), Key::unit_turn, 15, 1) == "obrotu");
    CHECK(counted(*find("pl"), Key::unit_turn, 15) == "obrotów");
}

TEST_CASE("values of an axis have a word and a head, and no two heads of one language are the same") {
    CHECK(axis_word(*find("de"), "left").word == "links");
    CHECK(axis_word(*find("fr"), "right").head == "D");
    CHECK(axis_word(*find("en"), "3").head == "3");
    for (const Labels& each : languages()) {
        const char* axes[][2] = {{"left", "right"}, {"front", "rear"}, {"upper", "lower"}, {"inner", "outer"}};
        for (const auto& pair : axes) CHECK(axis_word(each, pair[0]).head != axis_word(each, pair[1]).head);
    }
}

TEST_CASE("a label file that lacks a key, has one too many or another number of blanks stops the build and is named") {
    namespace fs = std::filesystem;
    const fs::path folder = fs::path(BENCHLEAF_BINARY_DIR) / "label_test";
    const fs::path labels = fs::path(BENCHLEAF_SOURCE_DIR) / "src/labels";
    fs::create_directories(folder);
    const auto outcome = [&](auto change) {
        std::ifstream in(labels / "de.yaml");
        std::stringstream text;
        text << in.rdbuf();
        std::ofstream(folder / "de.yaml") << change(text.str());
        const std::string command = "python3 '" + (labels / "make_labels.py").string() + "' '" + folder.string() +
                                    "' '" + (labels / "en.yaml").string() + "' '" + (folder / "de.yaml").string() +
                                    "' 2> '" + (folder / "said").string() + "'";
        const int status = std::system(command.c_str());
        std::ifstream said_in(folder / "said");
        std::stringstream said;
        said << said_in.rdbuf();
        return std::pair(status, said.str());
    };
    const auto replaced = [](std::string text, const std::string& from, const std::string& to) {
        const auto at = text.find(from);
        REQUIRE(at != std::string::npos);
        return text.replace(at, from.size(), to);
    };
    CHECK(outcome([](const std::string& text) { return text; }).first == 0);
    auto missing = outcome([&](const std::string& text) { return replaced(text, "\nnone: ", "\nnonne: "); });
    CHECK(missing.first != 0);
    CHECK(missing.second.find("de.yaml: the key none is missing") != std::string::npos);
    CHECK(missing.second.find("de.yaml: the key nonne is not in") != std::string::npos);
    CHECK(outcome([&](const std::string& text) {
              return replaced(text, "Seite {} von {}", "Seite {}");
          }).second.find("page-of does not take as many values") != std::string::npos);
    CHECK(outcome([&](const std::string& text) {
              return replaced(text, "\"Hub | Hübe\"", "\"Hub\"");
          }).second.find("unit-stroke has 1 forms, not 2") != std::string::npos);
}
