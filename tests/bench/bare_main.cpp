// The bare program as a process: bare utf8|winansi REGULAR BOLD ITALIC DRAWING OUT YAML…
#include "bench/bare.h"

#include <fstream>
#include <iostream>
#include <iterator>

namespace {

std::string read_file(const char* path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

} // namespace

int main(int argc, char** argv) {
    using namespace benchleaf::bench;
    if (argc < 7) return 2;
    const std::string font_files[3] = {argv[2], argv[3], argv[4]};
    std::vector<std::string> yaml;
    for (int i = 7; i < argc; ++i) yaml.push_back(read_file(argv[i]));
    if (parse(yaml) == 0) return 1;
    const Fonts fonts = std::string(argv[1]) == "utf8" ? Fonts::whole_utf8 : Fonts::cut_winansi;
    const std::string pdf = draw(read(read_file(argv[5])), fonts, font_files);
    std::ofstream(argv[6], std::ios::binary).write(pdf.data(), static_cast<std::streamsize>(pdf.size()));
    return pdf.empty() ? 1 : 0;
}
