// What the compiler and the linker were told against whoever finds a fault in the program: that it is in the files that were built. (CMakeLists.txt says why each,
// and which of them are left out.)
#include "gates/program.h"

#include <algorithm>
#include <doctest/doctest.h>

using namespace benchleaf::gates;

namespace {

bool has(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

std::string elf(const std::string& path) {
    const Ran ran =
        run("/usr/bin/readelf", {"-W", "--file-header", "--program-headers", "--dynamic", "--dyn-syms", path});
    REQUIRE_MESSAGE(ran.status == 0, std::string("apt-get install binutils: " + ran.err));
    return ran.out;
}

// The line of a program header.
std::string header(const std::string& all, const std::string& name) {
    const std::size_t at = all.find("  " + name + " ");
    return at == std::string::npos ? std::string() : all.substr(at, all.find('\n', at) - at);
}

} // namespace

TEST_CASE("the program, and what reads filled-in cards") {
    const std::string module = std::string(BENCHLEAF_BINARY_DIR) + "/benchleaf-filled.so";
    for (const std::string& path : {program(), module}) {
        CAPTURE(path);
        const std::string all = elf(path);
        // Nobody knows where it lies in memory. (What the sanitizers look at would make that slow; see CMakeLists.txt.)
        constexpr bool sanitized = BENCHLEAF_TIME_SLACK > 5;
        if (path == module || !sanitized) CHECK(has(all, "DYN ("));
        if (path == program() && !sanitized) CHECK(has(all, "Flags: NOW PIE"));
        // No stack that can be run, and the tables of what is called elsewhere are filled at the start and then never written.
        CHECK(has(header(all, "GNU_STACK"), " RW "));
        CHECK(header(all, "GNU_RELRO") != "");
        CHECK(has(all, "BIND_NOW"));
        // No page that can be both written and run.
        CHECK(!has(all, " RWE "));
        // The guard of a frame.
        CHECK(has(all, "__stack_chk_fail"));
    }
    // Lengths that are known are looked at when bytes are copied: only where the compiler optimizes.
    if (BENCHLEAF_TIME_SLACK == 1) CHECK(has(elf(program()), "__memcpy_chk"));
    // A large frame is touched page by page.
    const std::string flags = read(std::string(BENCHLEAF_BINARY_DIR) + "/compile_commands.json");
    const std::size_t commands = static_cast<std::size_t>(std::count(flags.begin(), flags.end(), '{'));
    std::size_t with = 0;
    for (std::size_t at = flags.find("-fstack-clash-protection"); at != std::string::npos;
         at = flags.find("-fstack-clash-protection", at + 1))
        ++with;
    CHECK(with >= commands);
}
