// Where each node of a file lies: exactly its own characters, in every style.
#include "base/text.h"
#include "messages/render.h"
#include "source/source.h"
#include "syntax/syntax.h"

#include "cases/case.h"

#include <chrono>
#include <doctest/doctest.h>
#include <filesystem>
#include <fmt/format.h>

using namespace benchleaf;

namespace {

std::string dumped(std::string text) {
    source::Sources sources;
    messages::Messages messages;
    const auto file = sources.add("x.yaml", std::move(text));
    const auto syntax = syntax::parse(sources, file, messages);
    return syntax::dump(syntax, sources) + messages::render_human(messages, sources, {});
}

} // namespace

TEST_CASE("each style of text has its own characters as its span") {
    CHECK(dumped("a: b c  # d\n") == "map 1:1-1:7\n  text 1:1-1:2 \"a\"\n  text 1:4-1:7 \"b c\"\n");
    CHECK(dumped("a: 'it''s'  \n") == "map 1:1-1:11\n  text 1:1-1:2 \"a\"\n  text 1:4-1:11 \"it's\"\n");
    CHECK(dumped("\"é\" : \"\\u00e9\\n\"\n") == "map 1:1-1:17\n  text 1:1-1:4 \"é\"\n  text 1:7-1:17 \"é\\n\"\n");
    CHECK(
        dumped("a: b\n  c\n\n  d  \ne: f\n") ==
        "map 1:1-5:5\n  text 1:1-1:2 \"a\"\n  text 1:4-4:4 \"b c\\nd\"\n  text 5:1-5:2 \"e\"\n  text 5:4-5:5 \"f\"\n");
    CHECK(dumped("a: |\n  b\n\n  c\n\nd: >-\n  e\n  f") ==
          "map 1:1-8:4\n  text 1:1-1:2 \"a\"\n  text 1:4-4:4 \"b\\n\\nc\\n\"\n  text 6:1-6:2 \"d\"\n  text 6:4-8:4 \"e "
          "f\"\n");
    CHECK(dumped("a: |\r\n  b\r\nc: d\r\n") ==
          "map 1:1-3:5\n  text 1:1-1:2 \"a\"\n  text 1:4-2:4 \"b\\n\"\n  text 3:1-3:2 \"c\"\n  text 3:4-3:5 \"d\"\n");
}

TEST_CASE("lists, maps and empty values") {
    CHECK(dumped("a:   # b\nc:\n  - d\n") == "map 1:1-3:6\n  text 1:1-1:2 \"a\"\n  empty 1:3-1:3\n  text 2:1-2:2 "
                                             "\"c\"\n  list 3:3-3:6\n    text 3:5-3:6 \"d\"\n");
    CHECK(dumped("a: [b, {c: d, e: }, []]\n") ==
          "map 1:1-1:24\n  text 1:1-1:2 \"a\"\n  list 1:4-1:24\n    text 1:5-1:6 \"b\"\n    map 1:8-1:19\n      text "
          "1:9-1:10 \"c\"\n"
          "      text 1:12-1:13 \"d\"\n      text 1:15-1:16 \"e\"\n      empty 1:17-1:17\n    list 1:21-1:23\n");
    CHECK(dumped("[a: b c, d\n e]\n") ==
          "list 1:1-2:4\n  map 1:2-1:8\n    text 1:2-1:3 \"a\"\n    text 1:5-1:8 \"b c\"\n  text 1:10-2:3 \"d e\"\n");
}

TEST_CASE("what yaml-cpp calls null, true or a number is a text like any other") {
    CHECK(dumped("a: null\nb: ~\nc: yes\nd: 010\n~: [null, ~]\n") ==
          "map 1:1-5:13\n  text 1:1-1:2 \"a\"\n  text 1:4-1:8 \"null\"\n  text 2:1-2:2 \"b\"\n  text 2:4-2:5 \"~\"\n"
          "  text 3:1-3:2 \"c\"\n  text 3:4-3:7 \"yes\"\n  text 4:1-4:2 \"d\"\n  text 4:4-4:7 \"010\"\n  text 5:1-5:2 "
          "\"~\"\n"
          "  list 5:4-5:13\n    text 5:5-5:9 \"null\"\n    text 5:11-5:12 \"~\"\n");
}

TEST_CASE("a mistake leaves a hole; a key said twice is read once") {
    CHECK(dumped("a: \"b\n").rfind("hole 1:1-1:1\nerror: this quote is not closed on its line [unclosed-quote]\n", 0) ==
          0);
    CHECK(dumped("a: b\na: c\nd: e\na: f\n")
              .rfind("map 1:1-4:5\n  text 1:1-1:2 \"a\"\n  text 1:4-1:5 \"b\"\n  text 3:1-3:2 \"d\"\n  text 3:4-3:5 "
                     "\"e\"\nerror",
                     0) == 0);
}

TEST_CASE("a byte order mark is not part of the text") {
    CHECK(syntax::without_byte_order_mark("\xEF\xBB\xBF"
                                          "a: b") == "a: b");
    CHECK(syntax::without_byte_order_mark("a: b") == "a: b");
}

TEST_CASE("in the demo shop every plain and quoted text is what its span spells") {
    std::size_t looked_at = 0;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(BENCHLEAF_SOURCE_DIR "/procedures")) {
        if (entry.path().extension() != ".yaml") continue;
        source::Sources sources;
        messages::Messages messages;
        const auto file = sources.add(entry.path().string(), cases::read_file(entry.path()));
        const auto syntax = syntax::parse(sources, file, messages);
        INFO(messages::render_human(messages, sources, {}));
        CHECK(messages.all().empty());
        std::uint32_t last = 0;
        for (const auto& node : syntax.nodes) {
            CHECK(node.span.begin >= last); // in the order of the file
            last = node.span.begin;
            if (node.kind != syntax::Kind::scalar) continue;
            const std::string_view spelt = sources.text(node.span);
            if (node.style == syntax::Style::plain && spelt.find('\n') == std::string_view::npos)
                CHECK(spelt == node.text);
            if (node.style == syntax::Style::double_quoted) {
                CHECK(spelt.front() == '"');
                CHECK(spelt.back() == '"');
            }
            ++looked_at;
        }
    }
    CHECK(looked_at > 500);
}

// Time must grow with the bytes and not with their square, whatever stands in the file.
TEST_CASE("a hostile file is refused or read, and soon") {
    for (const std::string unit :
         {"[",   "{",     "\"", "'",  "- ",     "? ",      ": ",    "a: ",  "[]",   "[,",    "{a",   "&a ",
          "*a ", "!",     "%",  "#",  "|",      " ",       "\n",    "\"\n", "\\",   "a: [",  "{a: ", "-\n",
          "[\n", "- [\n", "é",  "\t", "a: b\n", "\"a\": ", "a:\n ", "\r\n", " a\n", "\"\\n", "|\n",  "a: |\n"}) {
        CAPTURE(unit);
        std::string text;
        while (text.size() + unit.size() <= 60'000) text += unit;
        const auto begin = std::chrono::steady_clock::now();
        for (const char* before : {"", "[", "a: "}) (void)dumped(before + text);
        const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
        CHECK(took.count() < 5.0); // seconds, in a debug build on a busy machine; a square would take minutes
    }
}
