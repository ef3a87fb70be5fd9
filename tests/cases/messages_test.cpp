// How messages look to a person and to a program, and what fixes do to a text.
#include "base/text.h"
#include "fixes/fixes.h"
#include "messages/message.h"
#include "messages/render.h"
#include "source/source.h"

#include <doctest/doctest.h>
#include <random>

using namespace benchleaf;

namespace {

const messages::Rule left_loose{"left-loose", messages::Level::error, "a fastener leaves the shop loose"};
const messages::Rule odd{"odd", messages::Level::warning, "something odd"};

source::Span span_of(const source::Sources& sources, source::FileId file, std::string_view piece) {
    const std::size_t at = sources.file(file).text.find(piece);
    REQUIRE(at != std::string::npos);
    return {file, static_cast<std::uint32_t>(at), static_cast<std::uint32_t>(at + piece.size())};
}

// The text after, put together from the text before and the hunks alone.
std::string patched(std::string_view before, std::string_view diff) {
    std::vector<std::string> old_lines;
    for (const auto line : base::split(before, '\n')) old_lines.emplace_back(line);
    std::string to;
    std::size_t at = 0; // old lines passed
    std::string unended;
    const auto lines = base::split(diff, '\n');
    for (std::size_t i = 2; i < lines.size(); ++i) {
        const std::string line(lines[i]);
        if (line.empty()) continue;
        const bool no_end = i + 1 < lines.size() && !lines[i + 1].empty() && lines[i + 1][0] == '\\';
        if (line[0] == '@') {
            std::size_t start = 0;
            std::size_t count = 0;
            REQUIRE(std::sscanf(line.c_str(), "@@ -%zu,%zu", &start, &count) == 2);
            const std::size_t target = count > 0 ? start - 1 : start;
            REQUIRE(target >= at);
            while (at < target) to += old_lines[at++] + "\n";
        } else if (line[0] == ' ' || line[0] == '-') {
            REQUIRE(at < old_lines.size());
            CHECK(old_lines[at++] == line.substr(1));
            if (line[0] == ' ') to += line.substr(1) + (no_end ? "" : "\n");
        } else if (line[0] == '+') {
            to += line.substr(1) + (no_end ? "" : "\n");
        }
    }
    while (at < old_lines.size()) {
        to += old_lines[at];
        if (++at < old_lines.size()) to += "\n";
    }
    return to;
}

} // namespace

TEST_CASE("two places in two files, help") {
    source::Sources sources;
    const auto procedure = sources.add("brakes/front.yaml", "steps:\n  - fit: lower-guide-bolt\n");
    const auto catalogue = sources.add(
        "catalogue/disc.yaml",
        "\n\n  lower-guide-bolt: { name: lower guide bolt, count: 1, thread: M8x1.25, class: \"8.8\", head: 12 mm }\n");
    messages::Messages all;
    auto& message = all.add(left_loose, span_of(sources, procedure, "lower-guide-bolt"),
                            "the lower guide bolt is left loose", "started by hand here");
    message.labels.push_back({span_of(sources, catalogue, "lower-guide-bolt"), "has to leave the shop tight"});
    message.help = "add `- torque: lower-guide-bolt` after step 14";
    CHECK(messages::render_human(all, sources, {false, 72}) ==
          "error: the lower guide bolt is left loose [left-loose]\n"
          "  brakes/front.yaml:2:10\n"
          "    2 |   - fit: lower-guide-bolt\n"
          "      |          ^^^^^^^^^^^^^^^^ started by hand here\n"
          "  catalogue/disc.yaml:3:3\n"
          "    3 |   lower-guide-bolt: { name: lower guide bolt, count: 1, thread:…\n"
          "      |   ---------------- has to leave the shop tight\n"
          "  help: add `- torque: lower-guide-bolt` after step 14\n");
    CHECK(messages::render_human(all, sources, {true, 72}).find("\x1b[1;31merror:\x1b[0m") == 0);
}

TEST_CASE("several places in one file, lines left out, several lines at once, tabs and wide characters, a fix") {
    source::Sources sources;
    const auto file = sources.add("x.yaml", "a: b\nc: d\ne: f\n\tg: 日本 h\ni: j k\nl: m\n  n\n  o\np: q\n");
    messages::Messages all;
    auto& first = all.add(odd, span_of(sources, file, "h"), "one", "here");
    first.labels.push_back({span_of(sources, file, "a"), "and there"});
    auto& second = all.add(odd, span_of(sources, file, "m\n  n\n  o"), "two", "all of it");
    second.labels.push_back({span_of(sources, file, "l"), "its key"});
    auto& third = all.add(odd, span_of(sources, file, "j"), "three", "left");
    third.labels.push_back({span_of(sources, file, "k"), "right"});
    third.fixes.push_back({"write `z`", {{span_of(sources, file, "j k"), "z"}}});
    all.add(odd, {file, 4, 4}, "four", "an end of line");
    all.add(odd, {}, "five");
    CHECK(messages::render_human(all, sources, {}) == "warning: one [odd]\n"
                                                      "  x.yaml:4:8\n"
                                                      "    1 | a: b\n"
                                                      "      | - and there\n"
                                                      "    …\n"
                                                      "    4 |     g: 日本 h\n"
                                                      "      |             ^ here\n"
                                                      "\n"
                                                      "warning: two [odd]\n"
                                                      "  x.yaml:6:4\n"
                                                      "    6 | l: m\n"
                                                      "      | -  ^\n"
                                                      "      | its key\n"
                                                      "    7 |   n\n"
                                                      "    8 |   o\n"
                                                      "      |   ^ all of it\n"
                                                      "\n"
                                                      "warning: three [odd]\n"
                                                      "  x.yaml:5:4\n"
                                                      "    5 | i: j k\n"
                                                      "      |    ^ - right\n"
                                                      "      |    left\n"
                                                      "  fix: write `z`\n"
                                                      "    - | i: j k\n"
                                                      "    + | i: z\n"
                                                      "\n"
                                                      "warning: four [odd]\n"
                                                      "  x.yaml:1:5\n"
                                                      "    1 | a: b\n"
                                                      "      |     ^ an end of line\n"
                                                      "\n"
                                                      "warning: five [odd]\n");
}

TEST_CASE("nothing in a file reaches the terminal as a control, and every span of every file can be drawn") {
    std::mt19937 random(7);
    const std::vector<std::string> pieces = {"a",
                                             " ",
                                             "\t",
                                             "\n",
                                             "\r\n",
                                             "é",
                                             "日",
                                             "\xFF",
                                             "\x1b[2J",
                                             "\xE2\x80\xAE",
                                             "\xC2\x9B",
                                             "\xCC\x81",
                                             std::string("\0", 1)};
    for (int round = 0; round < 400; ++round) {
        std::string text;
        const std::size_t size = random() % (round % 40 == 0 ? 5000 : 60);
        for (std::size_t i = 0; i < size; ++i) text += pieces[random() % pieces.size()];
        source::Sources sources;
        const auto file = sources.add("x\x1b[31m.yaml", text);
        messages::Messages all;
        const auto place = [&] {
            const auto a = static_cast<std::uint32_t>(random() % (text.size() + 1));
            const auto b = static_cast<std::uint32_t>(random() % (text.size() + 1));
            return source::Span{file, std::min(a, b), std::max(a, b)};
        };
        auto& message = all.add(odd, place(), "says \x1b[2J",
                                "la\xFF"
                                "bel");
        message.labels.push_back({place(), "two\n"});
        message.labels.push_back({place(), ""});
        message.fixes.push_back({"fix", {{place(), "\x1b"}}});
        const std::string shown = messages::render_human(all, sources, {false, 40});
        CHECK(!base::first_bad_utf8(shown));
        for (const char c : shown) CHECK((static_cast<unsigned char>(c) >= 0x20 || c == '\n'));
        CHECK(shown.find("\xE2\x80\xAE") == std::string::npos);
        CHECK(!base::first_bad_utf8(messages::render_json(all, sources)));
        CHECK(!base::first_bad_utf8(messages::render_sarif(all, sources, "1")));
        const std::string lines = messages::render_gnu(all, sources);
        CHECK(!base::first_bad_utf8(lines));
        CHECK(std::count(lines.begin(), lines.end(), '\n') == 3); // itself and the labels that say something
        for (const char c : lines) CHECK((static_cast<unsigned char>(c) >= 0x20 || c == '\n'));
    }
}

TEST_CASE("JSON carries the same") {
    source::Sources sources;
    const auto file = sources.add("x.yaml", "é: b\nc: d\n");
    messages::Messages all;
    all.add(odd, span_of(sources, file, "b\nc"), "says \"so\"", "here").help = "do";
    CHECK(messages::render_json(all, sources) == "[\n  {\n    \"check\": \"odd\",\n    \"level\": \"warning\",\n    "
                                                 "\"text\": \"says \\\"so\\\"\",\n    \"labels\": [\n      {\n"
                                                 "        \"file\": \"x.yaml\",\n        \"line\": 1,\n        "
                                                 "\"column\": 4,\n        \"end\": {\n          \"line\": 2,\n"
                                                 "          \"column\": 2\n        },\n        \"text\": \"here\"\n    "
                                                 "  }\n    ],\n    \"help\": \"do\",\n    \"fixes\": []\n"
                                                 "  }\n]\n");
    CHECK(messages::render_json({}, sources) == "[]\n");
}

TEST_CASE("GNU lines name the last character, SARIF the place behind it") {
    source::Sources sources;
    const auto file = sources.add("a ö%.yaml", "é: b\nc: d\n");
    messages::Messages all;
    all.add(odd, span_of(sources, file, "b\nc"), "says so", "here");
    all.add(odd, span_of(sources, file, "c"), "one").help = "do";
    all.add(odd, {file, 5, 5}, "between");
    CHECK(messages::render_gnu(all, sources) == "a ö%.yaml:1.4-2.1: warning: says so [odd]\n"
                                                "a ö%.yaml:1.4-2.1: note: here\n"
                                                "a ö%.yaml:2.1: warning: one [odd]\n"
                                                "a ö%.yaml:2.1: note: do\n"
                                                "a ö%.yaml:1.5: warning: between [odd]\n");
    const std::string log = messages::render_sarif(all, sources, "7");
    CHECK(log.find("\"uri\": \"a%20%C3%B6%25.yaml\"") != std::string::npos);
    CHECK(log.find("\"startLine\": 1,\n                  \"startColumn\": 4,\n                  \"endLine\": 2,\n      "
                   "            "
                   "\"endColumn\": 2\n") != std::string::npos);
    CHECK(log.find("\"ruleIndex\": 0") != std::string::npos);
    CHECK(log.find("\"ruleIndex\": 1") == std::string::npos); // one rule
}

TEST_CASE("a fix is made whole or not at all") {
    const source::FileId file{std::size_t{0}};
    const source::FileId other{std::size_t{1}};
    const auto edit = [&](std::uint32_t begin, std::uint32_t end, std::string text) {
        return messages::Edit{{file, begin, end}, std::move(text)};
    };
    const std::string text = "0123456789";
    const auto made = [&](std::vector<messages::Fix> fixes) { return fixes::apply(fixes, file, text); };
    CHECK(made({}).text == text);
    CHECK(made({{"", {edit(8, 9, "x"), edit(1, 3, "")}}}).text == "034567x9");
    CHECK(made({{"", {edit(2, 2, "a"), edit(2, 2, "b")}}}).text ==
          "01ab23456789"); // insertions of one fix keep their order
    const auto both =
        made({{"", {edit(1, 4, "a")}}, {"", {edit(8, 9, "b"), edit(3, 5, "c")}}, {"", {edit(5, 6, "d")}}});
    CHECK(both.text == "0a4d6789");
    CHECK(both.applied == 2);
    CHECK(both.skipped == 1);
    CHECK(made({{"", {edit(1, 1, "a")}}, {"", {edit(1, 1, "b")}}}).skipped == 1);
    CHECK(made({{"", {edit(1, 3, "a")}}, {"", {edit(3, 3, "b")}}}).skipped == 1);
    CHECK(made({{"", {edit(1, 5, "a"), edit(2, 3, "b")}}}).skipped == 1); // meets itself
    CHECK(made({{"", {edit(9, 11, "a")}}}).skipped == 1);
    CHECK(made({{"", {edit(1, 2, "a"), {{other, 1, 2}, "b"}}}}).skipped == 1);
}

TEST_CASE("a difference shows what changed and nothing else") {
    CHECK(fixes::unified_diff("x", "a\n", "a\n").empty());
    CHECK(fixes::unified_diff("x", "a\nb\nc\n", "a\nB\nc\n") == "--- x\n+++ x\n@@ -1,3 +1,3 @@\n a\n-b\n+B\n c\n");
    // A path with a line break in it is one line all the same.
    CHECK(fixes::unified_diff("x\n+y", "", "a\n") == "--- x +y\n+++ x +y\n@@ -0,0 +1,1 @@\n+a\n");
    CHECK(fixes::unified_diff("x", "", "a\n") == "--- x\n+++ x\n@@ -0,0 +1,1 @@\n+a\n");
    CHECK(fixes::unified_diff("x", "a", "a\n") ==
          "--- x\n+++ x\n@@ -1,1 +1,1 @@\n-a\n\\ No newline at end of file\n+a\n");
    std::mt19937 random(11);
    for (int round = 0; round < 500; ++round) {
        std::string before;
        std::string after;
        const std::size_t size = random() % 40;
        for (std::size_t i = 0; i < size; ++i) {
            const std::string line = std::string(1, static_cast<char>('a' + random() % 6)) + "\n";
            if (random() % 6 != 0) before += line;
            if (random() % 6 != 0) after += line;
        }
        if (before == after) continue;
        const std::string diff = fixes::unified_diff("x", before, after);
        CAPTURE(before);
        CAPTURE(diff);
        CHECK(patched(before, diff) == after);
    }
}
