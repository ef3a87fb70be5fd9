// `cmake --install` into a folder of its own: all stands where Debian looks for it, and the program works from there, with the part of it
// that it loads.
#include "gates/program.h"

#include <doctest/doctest.h>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

TEST_CASE("what is installed works by itself") {
    const std::string prefix = scratch("installed");
    const Ran installed = run("/usr/bin/cmake", {"--install", BENCHLEAF_BINARY_DIR, "--prefix", prefix});
    REQUIRE_MESSAGE(installed.status == 0, installed.err);
    for (const char* file : {"bin/benchleaf", "lib/benchleaf/benchleaf-filled.so", "share/man/man1/benchleaf.1",
                             "share/bash-completion/completions/benchleaf", "share/zsh/site-functions/_benchleaf"})
        CHECK_MESSAGE(fs::is_regular_file(prefix + "/" + file), file);
    std::size_t files = 0;
    for (const auto& entry : fs::recursive_directory_iterator(prefix)) files += entry.is_regular_file();
    CHECK(files == 5);

    const std::string program = prefix + "/bin/benchleaf";
    CHECK(read(prefix + "/share/man/man1/benchleaf.1") == run(program, {"manual"}).out);
    CHECK(read(prefix + "/share/zsh/site-functions/_benchleaf") == run(program, {"completion", "zsh"}).out);

    // zsh takes its part from a folder, the first time that it is wanted.
    write(prefix + "/settings", "fpath=(./share/zsh/site-functions $fpath); compinit -D -u\n");
    write(prefix + "/questions", "tab\tbenchleaf explain left-l\ntab\tbenchleaf pri\n");
    const Ran pressed = run("/bin/sh",
                            {"-c", "exec /usr/bin/python3 \"$0\" zsh . ./settings \"$PWD/bin\" < questions",
                             std::string(BENCHLEAF_SOURCE_DIR) + "/tests/gates/press_tab.py"},
                            {.folder = prefix});
    CHECK(pressed.err == "");
    CHECK(pressed.out == "benchleaf explain left-loose \nbenchleaf print \n");

    fs::copy(std::string(BENCHLEAF_SOURCE_DIR) + "/procedures", prefix + "/shop", fs::copy_options::recursive);
    const How there = {.folder = prefix + "/shop"};
    CHECK(run(program, {"check"}, there).status == 0);
    REQUIRE(run(program, {"print", "2026-0412"}, there).status == 0);
    // A PDF is read by the part that is loaded.
    const Ran verified = run(program, {"verify", "out/2026-0412.pdf"}, there);
    CHECK(verified.err == "");
    CHECK(verified.status == 0);
    fs::remove(prefix + "/lib/benchleaf/benchleaf-filled.so");
    const Ran without = run(program, {"verify", "out/2026-0412.pdf"}, there);
    CHECK(without.status == 3);
    CHECK(without.err.find("cannot load what reads filled-in cards") != std::string::npos);
}
