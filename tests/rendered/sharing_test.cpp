// docs/sharing.md, done as it says: its commands run in a shell with the real program beside the demo shop, and what the page shows is what they
// say. BENCHLEAF_BLESS=1 rewrites that.
#include "gates/program.h"

#include <cstdlib>
#include <doctest/doctest.h>
#include <sstream>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

TEST_CASE("the page on handing over, command by command") {
    const std::string root = BENCHLEAF_SOURCE_DIR;
    const std::string folder = scratch("sharing");
    fs::copy(root + "/procedures", folder + "/procedures", fs::copy_options::recursive);
    const std::string page = read(root + "/docs/sharing.md");
    std::stringstream lines(page);
    std::string made; // the page as it should be
    std::string fence;
    std::string said; // by the last command
    std::size_t commands = 0;
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with("```")) {
            made += line + "\n" + (line == "```text" ? said : "");
            fence = fence.empty() ? line : "";
            continue;
        }
        if (fence == "```sh") {
            const Ran ran = run("/bin/sh", {"-c", "PATH=\"" + std::string(BENCHLEAF_BINARY_DIR) + ":$PATH\"; " + line},
                                {.folder = folder});
            CAPTURE(line);
            CHECK(ran.status <= 1);
            said = ran.out + ran.err;
            ++commands;
        }
        if (fence != "```text") made += line + "\n";
    }
    CHECK(fence.empty());
    CHECK(commands == 9);
    const Ran checked = run({"--shop", folder + "/larkfield", "check"});
    CHECK_MESSAGE(checked.status == 0, checked.err);
    const char* bless = std::getenv("BENCHLEAF_BLESS");
    if (bless != nullptr && std::string_view(bless) == "1" && made != page)
        write(root + "/docs/sharing.md", made);
    else
        CHECK(made == page);
}
