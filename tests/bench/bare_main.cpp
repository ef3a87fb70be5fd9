// The bare program as a process: bare RECORDING OUT YAML…
#include "bench/bare.h"

#include <fstream>
#include <iterator>

namespace {

std::string read_file(const char* path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

} // namespace

int main(int argc, char** argv) {
    using namespace benchleaf::bench;
    if (argc < 4) return 2;
    std::vector<std::string> yaml;
    for (int i = 3; i < argc; ++i) yaml.push_back(read_file(argv[i]));
    if (parse(yaml) == 0) return 1;
    const std::string pdf = draw(read(read_file(argv[1])));
    std::ofstream(argv[2], std::ios::binary).write(pdf.data(), static_cast<std::streamsize>(pdf.size()));
    return pdf.empty() ? 1 : 0;
}
