// The two ways of reading a file's structure, held against each other (syntax/arrange.h): whatever is arranged without yaml-cpp is just the
// tree that yaml-cpp makes of it, and whatever yaml-cpp refuses is refused. Over all files of the repository, over the demo shop with slips
// in it, and over lines put together at random, where nearly everything stands in a wrong column.
//
// BENCHLEAF_READINGS is how many of each (CI: 4,000).
#include "messages/render.h"
#include "source/source.h"
#include "syntax/syntax.h"

#include <doctest/doctest.h>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

using namespace benchleaf;

namespace {

struct Read {
    std::string tree;
    std::string said;
    bool refused = false;
};

Read read(const std::string& text, syntax::Reading reading) {
    source::Sources sources;
    messages::Messages messages;
    const auto file = sources.add("x.yaml", text);
    const syntax::Syntax syntax = syntax::parse(sources, file, messages, reading);
    return {syntax::dump(syntax, sources), messages::render_human(messages, sources, {}), messages.any_error()};
}

struct Counts {
    std::size_t read = 0;
    std::size_t refused = 0;
};

void hold(const std::string& text, Counts& counts) {
    const Read quick = read(text, syntax::Reading::quick);
    const Read twice = read(text, syntax::Reading::twice);
    ++counts.read;
    if (twice.refused) ++counts.refused;
    if (quick.tree == twice.tree && quick.said == twice.said) return;
    CAPTURE(text);
    CHECK(quick.said == twice.said);
    CHECK(quick.tree == twice.tree);
}

std::vector<std::string> texts_below(const std::string& folder) {
    std::vector<std::string> texts;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
        if (entry.path().extension() != ".yaml") continue;
        std::ostringstream bytes;
        bytes << std::ifstream(entry.path(), std::ios::binary).rdbuf();
        texts.push_back(bytes.str());
    }
    REQUIRE(!texts.empty());
    return texts;
}

std::size_t how_many() {
    const char* given = std::getenv("BENCHLEAF_READINGS");
    return given != nullptr ? std::stoul(given) : BENCHLEAF_TIME_SLACK > 5 ? 1000 : 4000; // the release build reads all
}

template <class T>
const T& any_of(const std::vector<T>& all, std::mt19937& random) {
    return all[random() % all.size()];
}

// What stands in a line: keys, dashes, brackets, texts, and what they look like.
const std::vector<std::string> pieces = {
    "a: ", "a:",   "b: x",    "- ",    "-",       "- a: b",    "- - x", "x",     "x y", "'q'",   "\"q\"",  "[",
    "]",   "{",    "}",       ",",     ", ",      "{ a: b }",  "[x]",   "[]",    "{}",  ": ",    ":",      " #c",
    "#c",  "null", "~",       "[a,b]", "| ",      ">",         "? ",    "a",     "{a}", "{a: }", "[a: b]", "\"k\": v",
    "x:y", "[ x,", "{ a: x,", "- [a",  "'k' : v", "{ 'a':b }", "-x",    "a : b", "é: ü"};

std::string lines_at_random(std::mt19937& random) {
    std::string text;
    const std::size_t lines = 1 + random() % 9;
    for (std::size_t line = 0; line < lines; ++line) {
        text += std::string(random() % 4 * (random() % 8 == 0 ? 1 : 2), ' ');
        const std::size_t count = random() % 10 == 0 ? 0 : 1 + random() % 3;
        for (std::size_t i = 0; i < count; ++i) text += any_of(pieces, random);
        text += random() % 30 == 0 ? "\r\n" : "\n";
    }
    if (random() % 5 == 0 && !text.empty()) text.pop_back();
    return text;
}

// Well made, with one line in a wrong column, doubled, lost, or with a piece too many.
std::string slipped(const std::string& text, std::mt19937& random) {
    std::vector<std::string> lines;
    std::istringstream from(text);
    for (std::string line; std::getline(from, line);) lines.push_back(line);
    const std::size_t first = random() % lines.size();
    lines.erase(lines.begin(), lines.begin() + static_cast<std::ptrdiff_t>(random() % 2 == 0 ? first : 0));
    lines.resize(std::min<std::size_t>(lines.size(), 12));
    const std::size_t slips = 1 + random() % 3;
    for (std::size_t i = 0; i < slips && !lines.empty(); ++i) {
        const std::size_t at = random() % lines.size();
        std::string& line = lines[at];
        switch (random() % 6) {
        case 0:
            line.insert(0, std::string(1 + random() % 3, ' '));
            break;
        case 1:
            line.erase(0, std::min<std::size_t>(line.size(), 1 + random() % 3));
            break;
        case 2:
            line.insert(random() % (line.size() + 1), any_of(pieces, random));
            break;
        case 3:
            line.erase(random() % (line.size() + 1), 1 + random() % 2);
            break;
        case 4:
            lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(at), std::string(line));
            break;
        default:
            lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(at));
        }
    }
    std::string to;
    for (const std::string& line : lines) to += line + "\n";
    return to;
}

} // namespace

TEST_CASE("every file of the repository is read alike by both") {
    Counts counts;
    for (const char* folder : {"procedures", "tests"})
        for (const std::string& text : texts_below(std::string(BENCHLEAF_SOURCE_DIR "/") + folder)) hold(text, counts);
    MESSAGE(counts.read, " files, ", counts.refused, " refused");
    CHECK(counts.refused > 0);
}

TEST_CASE("lines at random are read alike by both") {
    std::mt19937 random(20261127); // NOLINT(cert-msc51-cpp): the same run each time
    Counts counts;
    const std::size_t many = how_many() * 10;
    for (std::size_t i = 0; i < many; ++i) hold(lines_at_random(random), counts);
    MESSAGE(counts.read, " texts, ", counts.refused, " refused");
    CHECK(counts.refused > many / 2);
    CHECK(counts.refused < many);
}

TEST_CASE("the demo shop with slips in it is read alike by both") {
    std::mt19937 random(7); // NOLINT(cert-msc51-cpp)
    const std::vector<std::string> texts = texts_below(BENCHLEAF_SOURCE_DIR "/procedures");
    Counts counts;
    const std::size_t many = how_many() * 4;
    for (std::size_t i = 0; i < many; ++i) hold(slipped(any_of(texts, random), random), counts);
    MESSAGE(counts.read, " texts, ", counts.refused, " refused");
    CHECK(counts.refused > many / 10);
    CHECK(counts.refused < many);
}
