// bench_grow FOLDER CATALOGUES PROCEDURES VEHICLES RECORDS JOBS: writes the grown shop (grow.h) there, with the demo shop's pictures.
#include "bench/grow.h"

#include "gates/program.h"

#include <cstdio>
#include <filesystem>
#include <fmt/format.h>

int main(int count, char** words) {
    using namespace benchleaf;
    if (count != 7) {
        std::fputs("bench_grow FOLDER CATALOGUES PROCEDURES VEHICLES RECORDS JOBS\n", stderr);
        return 2;
    }
    const std::string demo = BENCHLEAF_SOURCE_DIR "/procedures";
    const std::string folder = words[1];
    const auto number = [&](int i) { return static_cast<std::size_t>(std::stoul(words[i])); };
    const auto read = driver::read_shop(demo);
    if (!read) return 3;
    std::size_t files = 0;
    std::size_t bytes = 0;
    bench::grow(read.value().files, {number(2), number(3), number(4), number(5), number(6)},
                [&](const std::string& path, const std::string& text) {
                    gates::write(folder + "/" + path, text);
                    ++files;
                    bytes += text.size();
                });
    std::filesystem::create_directories(folder + "/pictures");
    std::filesystem::copy(demo + "/pictures", folder + "/pictures",
                          std::filesystem::copy_options::recursive | std::filesystem::copy_options::overwrite_existing);
    fmt::print("{} files, {} bytes\n", files, bytes);
    return 0;
}
