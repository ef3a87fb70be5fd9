// The real program on files of noise: bytes, words of the language in any order, and the demo's own files damaged. It must end by
// itself with a status of its own, say something when it says 1, and take no more than a second for a megabyte.
#include "gates/program.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <random>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

namespace {

const std::string demo = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";

void must_hold(const Ran& ran, std::size_t bytes) {
    CAPTURE(ran.err.substr(0, 2000));
    CHECK((ran.status == 0 || ran.status == 1));
    if (ran.status == 1) CHECK(ran.err.find("error") != std::string::npos);
    // The start of the program and of a loaded machine counts too: a quarter of a second of processor for that.
    CHECK(ran.cpu_seconds < BENCHLEAF_TIME_SLACK * (0.25 + static_cast<double>(bytes) / 1e6));
}

std::vector<std::string> demo_files() {
    std::vector<std::string> files;
    for (const auto& entry : fs::recursive_directory_iterator(demo))
        if (entry.path().extension() == ".yaml") files.push_back(entry.path().lexically_relative(demo));
    std::sort(files.begin(), files.end());
    return files;
}

std::size_t size_below(const std::string& folder) {
    std::size_t size = 0;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (entry.is_regular_file()) size += entry.file_size();
    return size;
}

} // namespace

TEST_CASE("noise") {
    const std::string folder = scratch("noise");
    write(folder + "/shop.yaml", "shop: noise\nname: Noise\n");
    std::mt19937 random(7);
    const std::vector<std::string> words = {
        "procedure", "catalogue", ": ",     "\n",    "\n  - ", "steps", "[",  "]",    "{",  "}",  ",",   "remove",
        "torque",    "24 N·m",    "'",      "\"",    "#",      "&a",    "*a", "|",    ">",  "  ", "---", "\t",
        "if-so",     "again",     "fit: x", "!!str", "%",      "\r\n",  "é",  "\xFF", "\\", "- "};
    for (int round = 0; round < 30; ++round) {
        std::string bytes;
        if (round % 2 == 0)
            for (unsigned i = 0; i < 2000; ++i) bytes += static_cast<char>(random());
        else
            for (unsigned i = 0; i < 400; ++i) bytes += words[random() % words.size()];
        write(folder + "/brakes/noise.yaml", bytes);
        must_hold(run({"check"}, {.folder = folder}), bytes.size());
    }
}

TEST_CASE("a megabyte of one thing") {
    const std::string folder = scratch("megabyte");
    write(folder + "/shop.yaml", "shop: noise\nname: Noise\n");
    constexpr std::size_t size = BENCHLEAF_TIME_SLACK > 5 ? 100'000 : 1'000'000; // the sanitizers look at less of it
    const auto many = [](std::string_view piece) {
        std::string to;
        while (to.size() < size) to += piece;
        return to;
    };
    const std::vector<std::pair<const char*, std::string>> shapes = {
        {"steps", "procedure: noise\ntitle: Noise\nrevision: 1\nsteps:\n" + many("  - Look at it.\n")},
        {"verbs on what is not there",
         "procedure: noise\ntitle: Noise\nrevision: 1\nsteps:\n" + many("  - remove: bolt\n")},
        {"questions", "procedure: noise\ntitle: Noise\nrevision: 1\nsteps:\n" +
                          many("  - ask: Is it so?\n    if-so: [Look.]\n    if-not: [Look again.]\n")},
        {"brackets", "catalogue: noise\nparts: " + many("[")},
        {"quotes", "catalogue: noise\nparts: " + many("\"")},
        {"one line", "catalogue: noise\nparts: " + many("a")},
        {"parts",
         [&] {
             std::string to = "catalogue: noise\nparts:\n";
             for (unsigned i = 0; to.size() < size; ++i) to += "  part-" + std::to_string(i) + ": part\n";
             return to;
         }()},
        {"the same part", "catalogue: noise\nparts:\n" + many("  part: part\n")},
        {"unknown keys", "catalogue: noise\n" + many("nonsense: 1\n")},
        {"colons", many(": ")},
        {"zero bytes", std::string(size, '\0')},
        {"bad UTF-8", std::string(size, '\xFF')},
        {"line ends", std::string(size, '\n')},
    };
    for (const auto& shape : shapes) {
        const auto& name = shape.first;
        const auto& bytes = shape.second;
        CAPTURE(name);
        write(folder + "/brakes/noise.yaml", bytes);
        // What else the machine does only adds to it: the least of three counts.
        Ran ran = run({"check"}, {.folder = folder});
        for (int again = 0; again < 2 && BENCHLEAF_TIME_SLACK == 1; ++again) {
            Ran other = run({"check"}, {.folder = folder});
            if (other.cpu_seconds < ran.cpu_seconds) ran = std::move(other);
        }
        CAPTURE(ran.cpu_seconds);
        must_hold(ran, bytes.size());
    }
}

TEST_CASE("the demo shop, damaged") {
    const std::string folder = scratch("damaged");
    const std::vector<std::string> files = demo_files();
    std::mt19937 random(11);
    constexpr int rounds = BENCHLEAF_TIME_SLACK > 5 ? 16 : 60;
    for (int round = 0; round < rounds; ++round) {
        fs::remove_all(folder + "/shop");
        fs::copy(demo, folder + "/shop", fs::copy_options::recursive);
        const std::string file = files[random() % files.size()];
        std::string bytes = read(demo + "/" + file);
        const std::size_t at = random() % bytes.size();
        switch (round % 4) {
        case 0: // cut off
            bytes.resize(at);
            break;
        case 1: // one byte changed
            bytes[at] = static_cast<char>(random());
            break;
        case 2: { // a line gone
            const std::size_t begin = bytes.rfind('\n', at);
            const std::size_t end = bytes.find('\n', at);
            if (begin != std::string::npos && end != std::string::npos) bytes.erase(begin, end - begin);
            break;
        }
        default: { // a line twice
            const std::size_t begin = bytes.rfind('\n', at);
            const std::size_t end = bytes.find('\n', at);
            if (begin != std::string::npos && end != std::string::npos && begin < end)
                bytes.insert(end, bytes.substr(begin, end - begin));
        }
        }
        CAPTURE(file);
        CAPTURE(round);
        if (file == "shop.yaml" && bytes.empty()) continue;
        write(folder + "/shop/" + file, bytes);
        must_hold(run({"--shop", folder + "/shop", "check"}), size_below(folder + "/shop"));
    }
}
