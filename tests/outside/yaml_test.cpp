// Another YAML reader as the oracle: what `fy-tool --testsuite` (Debian libfyaml-utils 0.7, run as a program) refuses, we
// refuse; over the case files, and over mutations of the demo shop's files that a seed makes repeatable. The other direction does
// not hold and is not tested: we refuse much that is YAML.
#include "cases/case.h"
#include "messages/render.h"
#include "source/source.h"
#include "syntax/syntax.h"

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <doctest/doctest.h>
#include <filesystem>
#include <random>
#include <sys/wait.h>
#include <utility>

using namespace benchleaf;

namespace {

std::vector<std::string> yaml_files(const std::string& folder) {
    std::vector<std::string> files;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder))
        if (entry.path().extension() == ".yaml") files.push_back(entry.path().string());
    std::sort(files.begin(), files.end());
    return files;
}

bool we_refuse(const std::string& text) {
    source::Sources sources;
    messages::Messages messages;
    const auto file = sources.add("x.yaml", text);
    const auto syntax = syntax::parse(sources, file, messages);
    const bool refused = messages.any_error();
    REQUIRE(syntax.root.known());
    if (refused) CHECK(!messages::render_human(messages, sources, {}).empty());
    return refused;
}

enum class Oracle : std::uint8_t { reads, refuses, silent };

// There are inputs over which it does not come to an end; of these it says nothing.
Oracle oracle_says(const std::string& text) {
    std::FILE* pipe = popen("timeout 5 fy-tool --testsuite - >/dev/null 2>&1", "w");
    REQUIRE(pipe != nullptr);
    (void)std::fwrite(text.data(), 1, text.size(), pipe);
    const int status = pclose(pipe);
    if (WIFEXITED(status) && WEXITSTATUS(status) == 124) return Oracle::silent; // timeout(1)
    return status == 0 ? Oracle::reads : Oracle::refuses;
}

bool oracle_is_here() {
    std::signal(SIGPIPE, SIG_IGN); // it may stop reading early
    return std::system("fy-tool --version >/dev/null 2>&1") == 0;
}

// -- Mutations ------------------------------------------------------------------------------------------------------------

using Random = std::mt19937;

std::size_t below(std::size_t bound, Random& random) {
    return bound == 0 ? 0 : random() % bound;
}

// From the start of a line to behind its end.
std::pair<std::size_t, std::size_t> any_line(const std::string& text, Random& random) {
    const std::size_t at = below(text.size() + 1, random);
    const std::size_t begin = at == 0 ? 0 : text.rfind('\n', at - 1) + 1; // npos + 1 is 0
    return {begin, std::min(text.find('\n', begin), text.size() - (text.empty() ? 0 : 1)) + (text.empty() ? 0 : 1)};
}

// What YAML means something by, and what looks like it.
void put_in_a_word(std::string& text, Random& random) {
    static const std::vector<std::string> words = {"\t",
                                                   " ",
                                                   "  ",
                                                   "\n",
                                                   "\"",
                                                   "'",
                                                   ":",
                                                   ": ",
                                                   "- ",
                                                   "-",
                                                   "#",
                                                   " #",
                                                   "[",
                                                   "]",
                                                   "{",
                                                   "}",
                                                   ",",
                                                   "&",
                                                   "*",
                                                   "!",
                                                   "|",
                                                   ">",
                                                   "%",
                                                   "@",
                                                   "`",
                                                   "? ",
                                                   "\\",
                                                   "~",
                                                   "\r\n",
                                                   "---\n",
                                                   "...\n",
                                                   "é",
                                                   "\n  ",
                                                   "\n    ",
                                                   "null",
                                                   "<<: ",
                                                   "&a ",
                                                   "*a",
                                                   "!!str ",
                                                   "!t ",
                                                   "|2\n",
                                                   ">-\n",
                                                   "|+\n",
                                                   "%YAML 1.2\n---\n",
                                                   "\r",
                                                   std::string(1, '\0'),
                                                   "\xFF",
                                                   "\xC3",
                                                   "\xED\xA0\x80",
                                                   "\xF4\x90\x80\x80",
                                                   "\xC0\x80",
                                                   "\xEF\xBB\xBF",
                                                   "\xC2\x85",
                                                   "\xE2\x80\xA8",
                                                   "\xC2\xA0",
                                                   "\x7F",
                                                   "\x1B",
                                                   "\\x41",
                                                   "\\u00e9",
                                                   "\\U0010FFFF",
                                                   "''",
                                                   "\"\"",
                                                   "[]",
                                                   "{}",
                                                   "- - ",
                                                   "? a\n: b\n"};
    text.insert(below(text.size() + 1, random), words[below(words.size(), random)]);
}

void put_word_at_line(std::string& text, Random& random) {
    std::string word;
    put_in_a_word(word, random);
    text.insert(any_line(text, random).first, word);
}

void flip_bits(std::string& text, Random& random) {
    if (text.empty()) return;
    char& byte = text[below(text.size(), random)];
    byte = static_cast<char>(static_cast<unsigned char>(byte) ^ (1U << below(8, random)));
}

void set_byte(std::string& text, Random& random) {
    if (!text.empty()) text[below(text.size(), random)] = static_cast<char>(random());
}

void erase_bytes(std::string& text, Random& random) {
    text.erase(below(text.size() + 1, random), 1 + below(3, random));
}

void erase_line(std::string& text, Random& random) {
    const auto [begin, end] = any_line(text, random);
    text.erase(begin, end - begin);
}

void double_line(std::string& text, Random& random) {
    const auto [begin, end] = any_line(text, random);
    text.insert(end, text.substr(begin, end - begin));
}

void move_line(std::string& text, Random& random) {
    const auto [begin, end] = any_line(text, random);
    const std::string line = text.substr(begin, end - begin);
    text.erase(begin, end - begin);
    text.insert(any_line(text, random).first, line);
}

void set_in(std::string& text, Random& random) {
    text.insert(any_line(text, random).first, std::string(1 + below(4, random), ' '));
}

void set_out(std::string& text, Random& random) {
    const std::size_t begin = any_line(text, random).first;
    const std::size_t blanks = std::min(text.find_first_not_of(' ', begin), text.size()) - begin;
    text.erase(begin, std::min(blanks, 1 + below(4, random)));
}

void tabs_for_blanks(std::string& text, Random& random) {
    const std::size_t begin = any_line(text, random).first;
    const std::size_t blanks = std::min(text.find_first_not_of(' ', begin), text.size()) - begin;
    text.replace(begin, blanks, std::string(1 + blanks / 4, '\t'));
}

void cut_off(std::string& text, Random& random) {
    text.resize(below(text.size() + 1, random));
}

void other_line_ends(std::string& text, Random& random) {
    const std::string end = below(4, random) == 0 ? "\r" : "\r\n";
    const bool all = below(2, random) == 0;
    std::string to;
    for (const char c : text)
        if (c == '\n' && (all || below(3, random) == 0))
            to += end;
        else
            to += c;
    text = to;
}

void byte_order_mark(std::string& text, Random&) {
    text.insert(0, "\xEF\xBB\xBF");
}

void nest(std::string& text, Random& random) {
    static const std::vector<std::string> opens = {"[", "{", "- ", "{a: ", "? ", "[{"};
    const std::string& open = opens[below(opens.size(), random)];
    std::string deep;
    for (std::size_t i = std::size_t{1} << below(11, random); i > 0; --i) deep += open;
    text.insert(below(text.size() + 1, random), deep);
}

void long_line(std::string& text, Random& random) {
    const char letters[] = "a 'x\":";
    text.insert(below(text.size() + 1, random),
                std::string(std::size_t{1} << below(15, random), letters[below(7, random)]));
}

void another_document(std::string& text, Random& random) {
    static const std::vector<std::string> between = {"---\n",      "...\n",  "--- \n", "---", "...", "%YAML 1.1\n---\n",
                                                     "%TAG ! x\n", "--- |\n"};
    text.insert(any_line(text, random).first, between[below(between.size(), random)]);
}

void put_in_brackets(std::string& text, Random& random) {
    const auto [begin, end] = any_line(text, random);
    static const std::vector<std::pair<std::string, std::string>> pairs = {{"[", "]"}, {"{", "}"},  {"\"", "\""},
                                                                           {"'", "'"}, {"&a ", ""}, {"!!map ", ""},
                                                                           {"# ", ""}, {"|", ""},   {"? ", ""}};
    const auto& [open, close] = pairs[below(pairs.size(), random)];
    const std::size_t first = std::min(text.find_first_not_of(" -", begin), end);
    const std::size_t last = end > first && text[end - 1] == '\n' ? end - 1 : end;
    text.insert(last, close);
    text.insert(first, open);
}

// One to four of them, one after the other; and now and then the rest of another file behind the first part of this one.
std::string mutated(const std::vector<std::string>& texts, Random& random) {
    static constexpr void (*all[])(std::string&, Random&) = {
        put_in_a_word,   put_in_a_word, put_word_at_line, put_word_at_line, flip_bits,
        set_byte,        erase_bytes,   erase_line,       double_line,      move_line,
        set_in,          set_out,       tabs_for_blanks,  cut_off,          other_line_ends,
        byte_order_mark, nest,          long_line,        another_document, put_in_brackets};
    std::string text = texts[below(texts.size(), random)];
    if (below(8, random) == 0) {
        const std::string& other = texts[below(texts.size(), random)];
        text = text.substr(0, any_line(text, random).first) + other.substr(any_line(other, random).first);
    }
    // A short piece of the file keeps slips near each other, and the oracle quick.
    if (text.size() > 600 && below(2, random) == 0) {
        const std::size_t from = any_line(text, random).first;
        text = text.substr(from, any_line(text, random).first / 4 + 400);
    }
    const std::size_t count = below(2, random) == 0 ? 1 : 1 + below(4, random);
    for (std::size_t i = 0; i < count; ++i) all[below(std::size(all), random)](text, random);
    return text;
}

} // namespace

TEST_CASE("what the oracle refuses in the case files, we refuse") {
    if (!oracle_is_here()) {
        MESSAGE("not run: fy-tool is not installed (apt-get install libfyaml-utils)");
        return;
    }
    std::size_t refused_by_both = 0;
    for (const auto& path : yaml_files(BENCHLEAF_SOURCE_DIR "/tests/cases")) {
        for (const auto& [name, text] : cases::files_of(cases::read_case(cases::read_file(path)))) {
            const bool ours = we_refuse(text);
            if (ours && text.size() > 100'000) continue;
            const bool theirs = oracle_says(text) == Oracle::refuses;
            const std::string place = path + " " + name;
            INFO(place);
            CHECK((!theirs || ours));
            refused_by_both += theirs && ours ? 1 : 0;
        }
    }
    CHECK(refused_by_both > 20); // the oracle does refuse
}

// A few thousand in seconds; BENCHLEAF_MUTATIONS=50000 for all of them, BENCHLEAF_SEED for others. With the first of these every mutation is shown to the oracle, and not
// only what we accept, so that it can be told how many both refuse.
TEST_CASE("what the oracle refuses in mutations of the demo shop, we refuse, and nothing takes long") {
    if (!oracle_is_here()) {
        MESSAGE("not run: fy-tool is not installed (apt-get install libfyaml-utils)");
        return;
    }
    const char* seed_given = std::getenv("BENCHLEAF_SEED");
    const char* count_given = std::getenv("BENCHLEAF_MUTATIONS");
    const auto seed = static_cast<std::uint32_t>(seed_given ? std::strtoul(seed_given, nullptr, 10) : 20261125);
    const std::size_t wanted = count_given ? std::strtoul(count_given, nullptr, 10) : 3000;
    Random random(seed);
    std::vector<std::string> texts;
    for (const auto& path : yaml_files(BENCHLEAF_SOURCE_DIR "/procedures")) texts.push_back(cases::read_file(path));
    for (const auto& path : yaml_files(BENCHLEAF_SOURCE_DIR "/tests/cases/syntax"))
        for (const auto& [name, text] : cases::files_of(cases::read_case(cases::read_file(path))))
            if (text.size() < 10'000) texts.push_back(text);
    REQUIRE(texts.size() > 40);
    const auto begin = std::chrono::steady_clock::now();
    std::size_t made = 0;
    std::size_t accepted = 0;
    std::size_t by_both = 0;
    std::size_t silent = 0;
    double slowest = 0;
    for (; made < wanted; ++made) {
        const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
        if (!count_given && took.count() > 12.0) break;
        const std::string text = mutated(texts, random);
        const std::clock_t start = std::clock();
        const bool ours = we_refuse(text);
        slowest = std::max(slowest, static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
        accepted += ours ? 0 : 1;
        if (ours && !count_given) continue; // the law has nothing to say
        const Oracle theirs = oracle_says(text);
        by_both += ours && theirs == Oracle::refuses ? 1 : 0;
        silent += theirs == Oracle::silent ? 1 : 0;
        if (theirs == Oracle::refuses && !ours)
            FAIL_CHECK(fmt::format("seed {} mutation {}: accepted by us alone:\n{}", seed, made, text));
    }
    CHECK(made >= 1000);
    CHECK(accepted > made / 20);
    CHECK(slowest < 1.0 * BENCHLEAF_TIME_SLACK);
    MESSAGE("seed " << seed << ": " << made << " mutations, " << accepted << " accepted, the slowest took " << slowest
                    << " s; the oracle came to no end over " << silent);
    if (count_given) MESSAGE(by_both << " refused by both, " << made - accepted - by_both << " by us alone");
}
