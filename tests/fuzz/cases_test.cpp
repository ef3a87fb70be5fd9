// Whatever a fuzz target once fell over stays mended: each file in cases/<target> goes through its target, where every law holds and nothing takes over a second. With
// BENCHLEAF_CORPUS=FOLDER what was found below FOLDER/<target> goes through, too: in a release build that is how long an input takes that a sanitized one was slow at.
#include "cases/case.h"
#include "driver/pipeline.h"
#include "fuzz/targets.h"

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <doctest/doctest.h>
#include <filesystem>

namespace fs = std::filesystem;
using namespace benchleaf;

namespace {

std::vector<fs::path> files_in(const fs::path& folder) {
    std::vector<fs::path> paths;
    if (fs::is_directory(folder))
        for (const auto& entry : fs::directory_iterator(folder)) paths.push_back(entry.path());
    std::sort(paths.begin(), paths.end());
    return paths;
}

// How many went through, and how long the slowest took: of processor, so that what else the machine does counts for nothing.
std::size_t go_through(const fuzz::Target& target, const fs::path& folder, double& slowest) {
    const std::vector<fs::path> paths = files_in(folder);
    for (const fs::path& path : paths) {
        INFO(path.string());
        const std::string bytes = cases::read_file(path.string());
        const std::clock_t start = std::clock();
        target.run(bytes);
        const double took = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
        CHECK(took < 1.0 * BENCHLEAF_TIME_SLACK);
        slowest = std::max(slowest, took);
    }
    return paths.size();
}

} // namespace

TEST_CASE("what was found by fuzzing stays mended") {
    const char* corpus = std::getenv("BENCHLEAF_CORPUS");
    std::size_t all = 0;
    for (const fuzz::Target& target : fuzz::targets) {
        double slowest = 0;
        target.run({}); // what it makes ready once is not the input's time
        std::size_t here =
            go_through(target, fs::path(BENCHLEAF_SOURCE_DIR "/tests/fuzz/cases") / target.name, slowest);
        if (corpus != nullptr) here += go_through(target, fs::path(corpus) / target.name, slowest);
        all += here;
        MESSAGE(target.name << ": " << here << " inputs, the slowest took " << slowest << " s");
    }
    CHECK(all > 0);
}
