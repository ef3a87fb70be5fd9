// The source keeps to what src/README.md says of it: who may include whom, what only one folder may touch, what a check brings
// with it, what lies at the top.
#include "gates/program.h"

#include <algorithm>
#include <cctype>
#include <doctest/doctest.h>
#include <map>
#include <regex>
#include <set>
#include <sstream>

namespace fs = std::filesystem;
using benchleaf::gates::read;

namespace {

const std::string root = BENCHLEAF_SOURCE_DIR;

struct SourceFile {
    std::string path;   // below src/
    std::string folder; // its first part
    std::string text;
    std::string code; // without comments and without what stands in quotes, except of includes
};

// The length of the comment or the literal that begins there; 0: there is none. (No regular expression: under the sanitizers it takes half a minute.)
std::size_t skipped(const std::string& line, std::size_t at) {
    if (line.compare(at, 2, "//") == 0) return line.size() - at;
    if (line.compare(at, 2, "/*") == 0) {
        const std::size_t end = line.find("*/", at + 2);
        return end == std::string::npos ? 0 : end + 2 - at;
    }
    if (line[at] != '"' && line[at] != '\'') return 0;
    std::size_t end = at + 1;
    while (end < line.size() && line[end] != line[at]) end += line[end] == '\\' ? 2 : 1;
    // What separates thousands in a number is no literal.
    const bool too_long = line[at] == '\'' && end - at != (line[at + 1] == '\\' ? 3 : 2);
    return end >= line.size() || too_long ? 0 : end + 1 - at;
}

// Blanks comments and the insides of literals, so that a word in them is not taken for code.
std::string without_comments(const std::string& text) {
    std::stringstream lines(text);
    std::string line;
    std::string to;
    while (std::getline(lines, line)) {
        const bool include = line.starts_with("#include");
        for (std::size_t at = 0; at < line.size();) {
            const std::size_t length = include ? 0 : skipped(line, at);
            to += length > 0 ? "\"\"" : std::string(1, line[at]);
            at += std::max<std::size_t>(length, 1);
        }
        to += "\n";
    }
    return to;
}

bool has_word(const std::string& code, const std::string& word) {
    const auto goes_on = [&](std::size_t at) {
        return at < code.size() && (std::isalnum(static_cast<unsigned char>(code[at])) != 0 || code[at] == '_');
    };
    for (std::size_t at = code.find(word); at != std::string::npos; at = code.find(word, at + 1))
        if (!goes_on(at - 1) && !goes_on(at + word.size())) return true;
    return false;
}

const std::vector<SourceFile>& sources() {
    static const std::vector<SourceFile> files = [] {
        std::vector<SourceFile> found;
        for (const auto& entry : fs::recursive_directory_iterator(root + "/src")) {
            const std::string end = entry.path().extension();
            if (end != ".h" && end != ".cpp") continue;
            SourceFile file;
            file.path = entry.path().lexically_relative(root + "/src").string();
            file.folder = file.path.substr(0, file.path.find('/'));
            file.text = read(entry.path());
            file.code = without_comments(file.text);
            found.push_back(file);
        }
        std::sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.path < b.path; });
        return found;
    }();
    return files;
}

// The table of src/README.md: a folder, and which it may include.
std::map<std::string, std::set<std::string>> table() {
    std::map<std::string, std::set<std::string>> rows;
    std::stringstream lines(read(root + "/src/README.md"));
    std::string line;
    while (std::getline(lines, line)) {
        if (line.rfind("| `", 0) != 0) continue;
        std::vector<std::string> cells;
        std::stringstream row(line.substr(1));
        for (std::string cell; std::getline(row, cell, '|');) cells.push_back(cell);
        REQUIRE(cells.size() == 3);
        const auto ticked = [](const std::string& cell) {
            std::set<std::string> names;
            const std::regex tick("`([a-z]+)`");
            for (std::sregex_iterator i(cell.begin(), cell.end(), tick), end; i != end; ++i) names.insert((*i)[1]);
            return names;
        };
        const auto first = ticked(cells[0]);
        REQUIRE(first.size() == 1);
        rows[*first.begin()] = ticked(cells[2]);
    }
    return rows;
}

std::vector<std::string> included(const SourceFile& file, const std::string& open, const std::string& close) {
    std::vector<std::string> names;
    std::stringstream lines(file.code);
    std::string line;
    const std::string start = "#include " + open;
    while (std::getline(lines, line))
        if (line.rfind(start, 0) == 0)
            names.push_back(line.substr(start.size(), line.find(close, start.size()) - start.size()));
    return names;
}

// What must not be seen, and the folders that may see it.
struct Only {
    std::string what; // of an include in <>, or a word of code
    std::set<std::string> folders;
    bool header_too = true; // else in .cpp files alone
};

} // namespace

TEST_CASE("every folder has a row, and includes only what its row names") {
    const auto rows = table();
    REQUIRE(rows.size() > 15);
    std::set<std::string> folders;
    for (const SourceFile& file : sources()) {
        folders.insert(file.folder);
        CAPTURE(file.path);
        REQUIRE(rows.count(file.folder) == 1);
        for (const std::string& name : included(file, "\"", "\"")) {
            CAPTURE(name);
            const std::string of = name.substr(0, name.find('/'));
            CHECK_MESSAGE((of == file.folder || rows.at(file.folder).count(of) == 1),
                          "src/README.md does not let this folder include that header");
            CHECK_MESSAGE(name.find("/checks/") == std::string::npos, "a check is not included");
        }
    }
    for (const auto& row : rows) {
        const auto& folder = row.first;
        const auto& may = row.second;
        CAPTURE(folder);
        CHECK(fs::is_directory(root + "/src/" + folder));
        for (const std::string& other : may) CHECK(rows.count(other) == 1);
    }
}

TEST_CASE("the table has no ring: a stage knows only earlier ones") {
    const auto rows = table();
    std::set<std::string> settled;
    for (bool more = true; more;) {
        more = false;
        for (const auto& [folder, may] : rows) {
            if (settled.count(folder)) continue;
            if (std::all_of(may.begin(), may.end(), [&](const auto& m) { return settled.count(m) == 1; })) {
                settled.insert(folder);
                more = true;
            }
        }
    }
    CHECK(settled.size() == rows.size());
}

TEST_CASE("headers open with what they are for, and are guarded") {
    for (const SourceFile& file : sources()) {
        if (!file.path.ends_with(".h")) continue;
        CAPTURE(file.path);
        CHECK(file.text.rfind("// ", 0) == 0);
        CHECK(file.text.substr(0, file.text.find("#pragma once")).size() > 40); // a sentence, not a word
        CHECK(file.text.find("#pragma once") != std::string::npos);
        CHECK(file.code.find("using namespace") == std::string::npos);
    }
}

TEST_CASE("only driver touches files, clock, terminal and environment") {
    // base/require.cpp alone may write to standard error: what it says is the last that is said.
    const std::vector<std::string> headers = {"fstream", "iostream", "filesystem", "unistd.h", "fcntl.h",  "sys/stat.h",
                                              "ctime",   "time.h",   "cstdio",     "stdio.h",  "dirent.h", "thread"};
    const std::vector<std::string> words = {"getenv", "fopen",     "system_clock", "steady_clock", "std::time",
                                            "isatty", "std::cout", "std::cerr",    "setlocale"};
    for (const SourceFile& file : sources()) {
        // libjpeg's header wants <cstdio> before it, for functions that are not called.
        if (file.folder == "driver" || file.path == "base/require.cpp" || file.path == "pictures/jpeg.cpp") continue;
        CAPTURE(file.path);
        for (const std::string& name : included(file, "<", ">")) {
            CAPTURE(name);
            CHECK(std::find(headers.begin(), headers.end(), name) == headers.end());
        }
        for (const std::string& word : words) CHECK_MESSAGE(!has_word(file.code, word), word);
    }
}

TEST_CASE("each library is seen by the folders that are its own") {
    const std::vector<Only> rules = {{"yaml-cpp/", {"syntax"}, false},
                                     {"hpdf", {"pdf"}, false},
                                     {"sodium", {"digest"}, false},
                                     {"CLI/", {"driver"}, false},
                                     {"qrencode", {"pages"}, false},
                                     {"utf8proc", {"bundle", "record", "pages", "text"}, false},
                                     {"linebreak.h", {"pages", "text"}, false},
                                     {"zlib.h", {"pictures"}, false},
                                     {"libdeflate.h", {"pdf"}, false},
                                     {"png.h", {"pictures"}, false},
                                     {"jpeglib.h", {"pictures"}, false},
                                     {"qpdf/", {"filled"}}, // in a header of its own
                                     {"nlohmann/", {"messages", "json", "model", "driver"}, false},
                                     {"boost/", {"units", "mechanics"}, false}};
    for (const SourceFile& file : sources())
        for (const std::string& name : included(file, "<", ">"))
            for (const Only& rule : rules) {
                if (name.rfind(rule.what, 0) != 0) continue;
                CAPTURE(file.path);
                CAPTURE(name);
                CHECK(rule.folders.count(file.folder) == 1);
                CHECK_MESSAGE((rule.header_too || file.path.ends_with(".cpp")), "a heavy header in a header");
            }
}

TEST_CASE("no exception leaves a stage: nothing of ours throws") {
    for (const SourceFile& file : sources()) {
        CAPTURE(file.path);
        // syntax/ ends yaml-cpp's reading by an exception of its own and catches it there.
        // filled/ so ends libqpdf's unpacking of what unpacks without end, and its warnings.
        if (file.folder == "syntax" || file.path == "filled/unpack.cpp" || file.path == "filled/warnings.cpp") continue;
        CHECK(!has_word(file.code, "throw"));
    }
}

TEST_CASE("a check is three files with one stem, and its case shows that something gives it") {
    std::set<std::string> names;
    for (const SourceFile& file : sources()) {
        if (file.path.find("/checks/") == std::string::npos) continue;
        std::string name = fs::path(file.path).stem();
        const std::string stem = name;
        std::replace(name.begin(), name.end(), '_', '-');
        CAPTURE(file.path);
        CHECK_MESSAGE(names.insert(name).second, "two stages have a check of this name");
        CHECK(fs::exists(root + "/docs/checks/" + name + ".md"));
        const std::string path = root + "/tests/cases/checks/" + name + ".yaml";
        CHECK(fs::exists(path));
        // The rule's own name is its file's.
        CHECK(file.text.find("{\"" + name + "\"") != std::string::npos);
        // The cases are matched exactly, so a case that expects the message proves that something emits it.
        CHECK_MESSAGE(read(path).find("[" + name + "]") != std::string::npos, "its case expects no such message");
    }
    CHECK(names.size() > 50);
    for (const char* folder : {"/docs/checks", "/tests/cases/checks"})
        for (const auto& entry : fs::directory_iterator(root + folder)) {
            CAPTURE(entry.path().string());
            CHECK_MESSAGE(names.count(entry.path().stem()) == 1, "there is no check of this name");
        }
}

TEST_CASE("what lies at the top is what belongs there, and no file names the machine it was made on") {
    const std::set<std::string> top = {
        ".ci",           ".clang-format", ".clang-tidy", ".github", ".gitignore", "CMakeLists.txt", "CONTRIBUTING.md",
        "DEVELOPERS.md", "LICENSE",       "README.md",   "docs",    "out",        "procedures",     "src",
        "tests"};
    const auto listed = benchleaf::gates::run("/usr/bin/git", {"-C", root, "ls-files", "-z"});
    if (listed.status != 0) {
        MESSAGE("no repository here: not looked at");
        return;
    }
    std::stringstream names(listed.out);
    for (std::string name; std::getline(names, name, '\0');) {
        CAPTURE(name);
        CHECK(top.count(name.substr(0, name.find('/'))) == 1);
        const std::string path = root + "/" + name;
        if (!fs::is_regular_file(path)) continue;
        CHECK(fs::file_size(path) < 400'000);
        if (name.ends_with(".png")) continue; // any bytes
        CHECK(read(path).find(root + "/") == std::string::npos);
    }
}
