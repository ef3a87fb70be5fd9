// Whole terminal outputs, compared exactly. Each file in this folder that ends in .txt begins with a command line; below it stand
// what the program says and how it ends:
//
//     $ benchleaf explain left-lose
//     [standard error]
//     benchleaf: there is no check `left-lose`; did you mean `left-loose`?
//     [standard output]
//     [status 2]
//
// It runs in this folder, so that `--shop faulty` is the shop beside it and `--shop ../../procedures` the demo shop.
// BENCHLEAF_BLESS=1 rewrites the files.
#include "gates/program.h"

#include <algorithm>
#include <cstdlib>
#include <doctest/doctest.h>
#include <sstream>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

namespace {

const std::string here = std::string(BENCHLEAF_SOURCE_DIR) + "/tests/rendered";

std::string rendered(const std::string& command) {
    std::vector<std::string> words;
    std::stringstream line(command);
    for (std::string word; line >> word;) words.push_back(word);
    REQUIRE(words.size() >= 2);
    REQUIRE(words[0] == "$");
    REQUIRE(words[1] == "benchleaf");
    words.erase(words.begin(), words.begin() + 2);
    const Ran ran = run(words, {.folder = here});
    return command + "\n[standard error]\n" + ran.err + "[standard output]\n" + ran.out + "[status " +
           std::to_string(ran.status) + "]\n";
}

} // namespace

TEST_CASE("whole outputs are as they were looked at") {
    const char* bless = std::getenv("BENCHLEAF_BLESS");
    std::vector<fs::path> files;
    for (const auto& entry : fs::directory_iterator(here))
        if (entry.path().extension() == ".txt") files.push_back(entry.path());
    std::sort(files.begin(), files.end());
    CHECK(files.size() >= 8);
    for (const fs::path& path : files) {
        CAPTURE(path.string());
        const std::string expected = read(path);
        const std::string given = rendered(expected.substr(0, expected.find('\n')));
        if (bless && std::string_view(bless) == "1" && given != expected) {
            write(path, given);
            continue;
        }
        CHECK(given == expected);
    }
}
