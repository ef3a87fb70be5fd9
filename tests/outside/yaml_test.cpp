// Another YAML reader as the oracle: what `fy-tool --testsuite` (Debian libfyaml-utils 0.7, run as a program) refuses, we
// refuse; over the case files, and over mutations of the demo shop that a seed makes repeatable. The other direction does
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
#include <doctest/doctest.h>
#include <filesystem>
#include <random>

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

bool oracle_refuses(const std::string& text) {
    std::FILE* pipe = popen("fy-tool --testsuite - >/dev/null 2>&1", "w");
    REQUIRE(pipe != nullptr);
    (void)std::fwrite(text.data(), 1, text.size(), pipe);
    return pclose(pipe) != 0;
}

bool oracle_is_here() {
    std::signal(SIGPIPE, SIG_IGN); // it may stop reading early
    return std::system("fy-tool --version >/dev/null 2>&1") == 0;
}

// One to three small slips, as fingers make them.
std::string mutated(const std::string& text, std::mt19937& random) {
    static const std::vector<std::string> slips = {"\t", " ",    "  ",    "\n",    "\"",   "'", ":",    ": ",    "- ",
                                                   "-",  "#",    " #",    "[",     "]",    "{", "}",    ",",     "&",
                                                   "*",  "!",    "|",     ">",     "%",    "@", "`",    "? ",    "\\",
                                                   "~",  "\r\n", "---\n", "...\n", "null", "é", "\n  ", "\n    "};
    std::string to = text;
    // A short piece of the file keeps slips near each other, and the oracle quick.
    const std::size_t lines = static_cast<std::size_t>(std::count(to.begin(), to.end(), '\n'));
    if (lines > 30 && random() % 2 == 0) {
        std::size_t at = 0;
        for (std::size_t i = 0; i < 30; ++i) at = to.find('\n', at) + 1;
        to.resize(at);
    }
    const std::size_t count = 1 + random() % 3;
    for (std::size_t i = 0; i < count; ++i) {
        const std::size_t at = random() % (to.size() + 1);
        switch (random() % 5) {
        case 0:
            to.erase(at, 1 + random() % 3);
            break;
        case 1: { // swap two lines' first blanks away
            const std::size_t line = to.rfind('\n', at);
            if (line != std::string::npos) to.erase(line + 1, random() % 3);
            break;
        }
        case 2: {
            const std::size_t line = to.rfind('\n', at);
            if (line != std::string::npos) to.insert(line + 1, slips[random() % slips.size()]);
            break;
        }
        default:
            to.insert(at, slips[random() % slips.size()]);
        }
    }
    return to;
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
            const bool theirs = oracle_refuses(text);
            const std::string place = path + " " + name;
            INFO(place);
            CHECK((!theirs || ours));
            refused_by_both += theirs && ours ? 1 : 0;
        }
    }
    CHECK(refused_by_both > 20); // the oracle does refuse
}

TEST_CASE("what the oracle refuses in mutations of the demo shop, we refuse") {
    if (!oracle_is_here()) {
        MESSAGE("not run: fy-tool is not installed (apt-get install libfyaml-utils)");
        return;
    }
    const char* seed_given = std::getenv("BENCHLEAF_SEED");
    const char* count_given = std::getenv("BENCHLEAF_MUTATIONS");
    const auto seed = static_cast<std::uint32_t>(seed_given ? std::strtoul(seed_given, nullptr, 10) : 20261125);
    const std::size_t wanted = count_given ? std::strtoul(count_given, nullptr, 10) : 3000;
    std::mt19937 random(seed);
    std::vector<std::string> texts;
    for (const auto& path : yaml_files(BENCHLEAF_SOURCE_DIR "/procedures")) texts.push_back(cases::read_file(path));
    for (const auto& path : yaml_files(BENCHLEAF_SOURCE_DIR "/tests/cases/syntax"))
        for (const auto& [name, text] : cases::files_of(cases::read_case(cases::read_file(path))))
            if (text.size() < 10'000) texts.push_back(text);
    REQUIRE(texts.size() > 40);
    const auto begin = std::chrono::steady_clock::now();
    std::size_t made = 0;
    std::size_t accepted = 0;
    for (; made < wanted; ++made) {
        const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
        if (!count_given && took.count() > 12.0) break;
        const std::string text = mutated(texts[random() % texts.size()], random);
        if (we_refuse(text)) continue; // the law has nothing to say
        ++accepted;
        if (oracle_refuses(text))
            FAIL_CHECK(fmt::format("seed {} mutation {}: accepted by us alone:\n{}", seed, made, text));
    }
    CHECK(made >= 1000);
    CHECK(accepted > made / 20);
    MESSAGE("seed " << seed << ": " << made << " mutations, " << accepted << " accepted and shown to the oracle");
}
