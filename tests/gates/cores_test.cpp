// `--cores` of `check` and `print` changes nothing but the time: both streams, the exit status and every byte of every file are the same, of a good shop and of
// a faulty one, and where no thread is to be had.
#include "gates/program.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <map>
#include <sys/resource.h>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

namespace {

const std::string demo = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";

struct Came {
    int status = -1;
    std::string out, err;
    std::map<std::string, std::string> files;
    bool operator==(const Came&) const = default;
};

Came came_of(std::vector<std::string> words, const std::string& cores, const How& how = {}) {
    const std::string out = scratch("cores/out");
    if (words.back() == "--out") words.push_back(out);
    if (!cores.empty()) words.insert(words.end(), {"-j", cores});
    const Ran ran = run(words, how);
    Came came{ran.status, ran.out, ran.err, {}};
    for (const auto& each : fs::directory_iterator(out)) came.files[each.path().filename()] = read(each.path());
    return came;
}

// One of its jobs asks for what there is not, and one of its procedures leaves a bolt loose.
std::string faulty_shop() {
    const std::string at = scratch("cores/faulty");
    fs::copy(demo, at, fs::copy_options::recursive);
    const auto spoil = [&](const std::string& path, const std::string& from, const std::string& to) {
        std::string text = read(at + path);
        REQUIRE(text.find(from) != std::string::npos);
        text.replace(text.find(from), from.size(), to);
        write(at + path, text);
    };
    spoil("/jobs/2026-0421.yaml", "do:", "do: [no-such-work]\nnotes:");
    spoil("/vehicles/ostrel-haul-300.yaml", "23 N·m", "23 mm");
    return at;
}

} // namespace

TEST_CASE("on one core, on several, and on as many as there are, the same comes of it") {
    for (const std::string& shop : {demo, faulty_shop()})
        for (const std::vector<std::string>& words :
             std::vector<std::vector<std::string>>{{"check"},
                                                   {"--messages", "json", "check"},
                                                   {"print", "--all", "--out"},
                                                   {"print", "--all", "--as", "json"}}) {
            std::vector<std::string> line = {"--shop", shop};
            line.insert(line.end(), words.begin(), words.end());
            CAPTURE(fmt::format("{}", fmt::join(line, " ")));
            const Came alone = came_of(line, "1");
            CHECK(alone.status == (shop == demo ? 0 : 1));
            CHECK(alone.files.empty() == (words.back() != "--out"));
            for (const std::string cores : {"", "2", "4", "7"}) {
                CAPTURE(cores);
                const bool same = came_of(line, cores) == alone;
                CHECK(same);
            }
        }
}

TEST_CASE("where no thread is to be had, nothing is said of it") {
    if (BENCHLEAF_TIME_SLACK > 5) return; // the sanitizers want more memory than there is, and threads of their own
    const std::vector<std::string> line = {"--shop", demo, "check"};
    // The stack of a thread is as large as it may grow: more than there is room for.
    const How none{.in_child = [] {
        const rlimit stack{rlim_t{1} << 40, rlim_t{1} << 40};
        const rlimit space{rlim_t{1} << 30, rlim_t{1} << 30};
        if (setrlimit(RLIMIT_STACK, &stack) != 0 || setrlimit(RLIMIT_AS, &space) != 0) _exit(126);
    }};
    const bool same = came_of(line, "4", none) == came_of(line, "1");
    CHECK(same);
}

TEST_CASE("so many cores as no machine has, and what is no number") {
    for (const std::string cores : {"0", "-1", "x", "10000", "1.5", ""}) {
        CAPTURE(cores);
        for (const std::string command : {"check", "print"}) {
            const Ran ran = run({"--shop", demo, command, "--cores", cores});
            CHECK(ran.status == 2);
            CHECK(ran.out.empty());
            CHECK(ran.err.starts_with("benchleaf: --cores: "));
        }
    }
}
