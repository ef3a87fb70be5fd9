// The man page: read by two programs that set such pages, neither of which may find fault with it, and held against the help and the source.
#include "gates/help_text.h"
#include "gates/program.h"

#include <doctest/doctest.h>
#include <regex>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

namespace {

std::string page() { // a path
    static const std::string path = [] {
        std::string made = scratch("manual") + "/benchleaf.1";
        write(made, run({"manual"}).out);
        return made;
    }();
    return path;
}

// As it is read on a screen of 80 columns, without bold and leaning.
std::string set_page() {
    const Ran ran = run("/usr/bin/mandoc", {"-Tutf8", "-O", "width=80", page()});
    return std::regex_replace(ran.out, std::regex(".\b"), "");
}

// The part below a head or a command's name.
std::string part(const std::string& text, const std::string& head, const std::string& indent) {
    const std::size_t from = text.find("\n" + indent + head + "\n");
    if (from == std::string::npos) return "";
    static const std::regex next("\n {0,3}[^ \n]");
    std::smatch found;
    const std::string rest = text.substr(from + 1);
    return std::regex_search(rest, found, next) ? rest.substr(0, static_cast<std::size_t>(found.position())) : rest;
}

} // namespace

TEST_CASE("the programs that set it find no fault with it") {
    const Ran strict = run("/usr/bin/mandoc", {"-Tlint", "-Wwarning", page()});
    CHECK_MESSAGE(strict.status == 0, ("apt-get install mandoc\n" + strict.out));
    CHECK(strict.out + strict.err == "");
    const Ran set = run("/usr/bin/groff", {"-man", "-ww", "-z", "-Tutf8", page()});
    CHECK_MESSAGE(set.status == 0, "apt-get install groff-base");
    CHECK(set.out + set.err == "");
}

TEST_CASE("it fits on 80 columns") {
    std::stringstream lines(set_page());
    for (std::string line; std::getline(lines, line);) {
        std::size_t columns = 0;
        for (const char c : line) columns += (static_cast<unsigned char>(c) & 0xC0) != 0x80;
        CHECK_MESSAGE(columns <= 80, line);
    }
}

TEST_CASE("every command, option and word of the help stands in it, and what is for programs does not") {
    const std::string text = set_page();
    REQUIRE(text.size() > 5000);
    const auto listed = [](const std::string& below, const std::string& name) {
        return std::regex_search(below, std::regex("\n       (-h, |--[a-z]+, )?" + name + "(, -| |\n)"));
    };
    for (const std::string& option : options_in_help(""))
        CHECK_MESSAGE(listed(part(text, "OPTIONS", ""), option == "-h" ? "--help" : option), option);
    const std::vector<std::string> commands = commands_in_help();
    CHECK(commands.size() >= 14);
    std::size_t options = 0;
    for (const std::string& command : commands) {
        CAPTURE(command);
        const std::string below = part(text, command, "   ");
        CHECK(below.find("       benchleaf " + command) != std::string::npos);
        for (const std::string& option : options_in_help(command)) {
            if (option == "-h" || option == "--help") continue;
            CHECK_MESSAGE(listed(below, option), option);
            ++options;
        }
    }
    CHECK(options > 40);
    CHECK(text.find("what-next") == std::string::npos);
    for (const char* head :
         {"NAME", "SYNOPSIS", "DESCRIPTION", "COMMANDS", "FILES", "EXIT STATUS", "ENVIRONMENT", "EXAMPLES", "SAFETY"})
        CHECK_MESSAGE(text.find("\n" + std::string(head) + "\n") != std::string::npos, head);
}

TEST_CASE("its cautions are those of the README") {
    const auto plain = [](const std::string& text) { return std::regex_replace(text, std::regex("\\s+"), " "); };
    const std::string read_me = plain(read(std::string(BENCHLEAF_SOURCE_DIR) + "/README.md"));
    std::string below = part(set_page(), "SAFETY", "");
    std::size_t paragraphs = 0;
    below = std::regex_replace(below.substr(below.find('\n') + 1), std::regex("\nbenchleaf 0[^]*"), "");
    for (std::size_t at = 0; at < below.size();) {
        const std::size_t end = std::min(below.find("\n\n", at), below.size());
        const std::string paragraph = plain(below.substr(at, end - at));
        if (paragraph.size() > 2) {
            CHECK_MESSAGE(read_me.find(paragraph.substr(1)) != std::string::npos, paragraph);
            ++paragraphs;
        }
        at = end + 2;
    }
    CHECK(paragraphs == 5);
}

TEST_CASE("what the program looks at in the environment stands in it") {
    const std::string below = part(set_page(), "ENVIRONMENT", "");
    const std::regex asked("getenv\\(\"([A-Z_]+)\"\\)");
    std::size_t found = 0;
    for (const auto& entry : fs::recursive_directory_iterator(std::string(BENCHLEAF_SOURCE_DIR) + "/src")) {
        if (!entry.is_regular_file() || entry.path().extension() != ".cpp") continue;
        const std::string text = read(entry.path());
        for (std::sregex_iterator i(text.begin(), text.end(), asked), end; i != end; ++i) {
            CHECK_MESSAGE(below.find("\n       " + (*i)[1].str()) != std::string::npos, (*i)[1].str());
            ++found;
        }
    }
    CHECK(found >= 3);
}
