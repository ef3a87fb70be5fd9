// The Tab key, pressed in a real bash and a real zsh: what they make of a line, in a folder with a shop whose name has a blank. And what
// the program answers them with, held against its own help.
#include "gates/help_text.h"
#include "gates/program.h"

#include <algorithm>
#include <cstdio>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

namespace {

const std::string source = BENCHLEAF_SOURCE_DIR;

// What is offered at the end of a line; the words alone.
std::vector<std::string> offered(const std::vector<std::string>& line, const std::string& folder,
                                 std::string* sort = nullptr) {
    std::vector<std::string> words = {"what-next", "--"};
    words.insert(words.end(), line.begin(), line.end());
    const Ran ran = run(words, {.folder = folder});
    CHECK(ran.status == 0);
    CHECK(ran.err == "");
    std::stringstream lines(ran.out);
    std::string first;
    std::getline(lines, first);
    if (sort != nullptr) *sort = first;
    std::vector<std::string> found;
    for (std::string each; std::getline(lines, each);) found.push_back(each.substr(0, each.find('\t')));
    return found;
}

bool has(const std::vector<std::string>& all, const std::string& one) {
    return std::find(all.begin(), all.end(), one) != all.end();
}

// A folder with a shop, files to name, and a script for the shell.
std::string desk() {
    static const std::string folder = [] {
        std::string made = scratch("press tab");
        fs::copy(source + "/procedures", made + "/my shop", fs::copy_options::recursive);
        write(made + "/filled in/it's.pdf", "");
        write(made + "/empty/note.txt", "");
        return made;
    }();
    return folder;
}

struct Press {
    const char* typed;
    const char* made; // after Tab; of `all` what is put in behind the last blank, in any order
};

constexpr Press tabs[] = {
    {"benchleaf pri", "benchleaf print "},
    {"benchleaf --color=ne", "benchleaf --color=never "},
    {"benchleaf print --as t", "benchleaf print --as text "},
    {"benchleaf print --nof", "benchleaf print --no-form "},
    {"benchleaf wear --min", "benchleaf wear --minimum "},
    {"benchleaf check --stop-after pro", "benchleaf check --stop-after proof "},
    {"benchleaf due --at ", "benchleaf due --at "},
    {"benchleaf due --at 2027-06-01 --js", "benchleaf due --at 2027-06-01 --json "},
    {"benchleaf explain left-l", "benchleaf explain left-loose "},
    {"benchleaf print --language d", "benchleaf print --language de "},
    {"benchleaf new proc", "benchleaf new procedure "},
    // Of the shop on the line, wherever it stands.
    {"benchleaf --shop my\\ shop print 2026-042", "benchleaf --shop my\\ shop print 2026-042"},
    {"benchleaf --shop my\\ shop print 2026-0421", "benchleaf --shop my\\ shop print 2026-0421 "},
    {"benchleaf print --shop 'my shop' 2026-0412 chain", "benchleaf print --shop 'my shop' 2026-0412 chain-service "},
    {"benchleaf print --shop=\"my shop\" --vehicle ostrel-haul-300 front-d",
     "benchleaf print --shop=\"my shop\" --vehicle ostrel-haul-300 front-disc-service "},
    {"benchleaf --shop ~/my\\ shop print --vehicle os",
     "benchleaf --shop ~/my\\ shop print --vehicle ostrel-haul-300 "},
    {"benchleaf --shop my\\ shop history tx3", "benchleaf --shop my\\ shop history TX30418 "},
    {"benchleaf --shop my\\ shop where front-wheel-n", "benchleaf --shop my\\ shop where front-wheel-nut "},
    {"benchleaf --shop my\\ shop record 2026-0423", "benchleaf --shop my\\ shop record 2026-0423 "},
    // There is none here.
    {"benchleaf print 2026-041", "benchleaf print 2026-041"},
    {"benchleaf print --shop empty 2026-041", "benchleaf print --shop empty 2026-041"},
    {"benchleaf print --shop nowhere 2026-041", "benchleaf print --shop nowhere 2026-041"},
    // Files and folders, with blanks and a quote in their names.
    {"benchleaf --shop m", "benchleaf --shop my\\ shop/"},
    {"benchleaf --shop=m", "benchleaf --shop=my\\ shop/"},
    {"benchleaf verify fi", "benchleaf verify filled\\ in/"},
    {"benchleaf verify filled\\ in/i", "benchleaf verify filled\\ in/it\\'s.pdf "},
    {"benchleaf record 2026-0412 --from \"filled in/i", "benchleaf record 2026-0412 --from \"filled in/it's.pdf\" "},
    {"benchleaf print --out empty/n", "benchleaf print --out empty/n"}, // a file, and no folder
    {"benchleaf nonsense --sh", "benchleaf nonsense --sh"},
};

constexpr Press alls[] = {
    {"benchleaf print --paper ", "a4 a5 letter"},
    {"benchleaf completion ", "bash zsh"},
    {"benchleaf schema ", "answers approval catalogue job procedure record shop vehicle"},
    {"benchleaf --shop my\\ shop print 2026-041", "2026-0412 2026-0418"},
    {"benchleaf print --shop my\\ shop --vehicle ",
     "brackmoor-tern-250 ostrel-haul-300 penwarrow-t-750 thornby-orchard-18"},
    {"benchleaf due --at 2027-06-01 ", "--color --help --json --messages --shop --version"},
    {"benchleaf ",
     "adopt approve bindings bundle check compare completion due explain history manual new print record schema "
     "torque verify wear where"},
};

std::string sorted_words(const std::string& text) {
    std::stringstream words(text);
    std::vector<std::string> all;
    for (std::string word; words >> word;) all.push_back(word);
    std::sort(all.begin(), all.end());
    return fmt::format("{}", fmt::join(all, " "));
}

void press_tab_in(const std::string& shell) {
    REQUIRE_MESSAGE(fs::exists("/usr/bin/" + shell), ("apt-get install " + shell));
    const std::string script = desk() + "/" + shell;
    write(script, run({"completion", shell}).out);
    std::string questions;
    for (const Press& each : tabs) questions += fmt::format("tab\t{}\n", each.typed);
    for (const Press& each : alls) questions += fmt::format("all\t{}\n", each.typed);
    write(desk() + "/questions", questions);
    const Ran ran = run("/bin/sh",
                        {"-c", "exec /usr/bin/python3 \"$1\" \"$2\" . \"$3\" \"$4\" < questions", "sh",
                         source + "/tests/gates/press_tab.py", shell, "./" + shell, BENCHLEAF_BINARY_DIR},
                        {.folder = desk()});
    CHECK(ran.err == "");
    REQUIRE(ran.status == 0);
    std::stringstream answers(ran.out);
    std::string line;
    for (const Press& each : tabs) {
        std::getline(answers, line);
        CHECK(line == each.made);
    }
    for (const Press& each : alls) {
        std::getline(answers, line);
        const std::string typed = each.typed;
        CHECK(sorted_words(line.substr(std::min(line.size(), typed.rfind(' ') + 1))) == each.made);
    }
}

} // namespace

TEST_CASE("bash completes a line") {
    press_tab_in("bash");
}

TEST_CASE("zsh completes a line") {
    press_tab_in("zsh");
}

TEST_CASE("the scripts have nothing in them that a shell, or a reader of scripts, finds fault with") {
    const std::string folder = scratch("scripts");
    for (const std::string& shell : {std::string("bash"), std::string("zsh")}) {
        write(folder + "/" + shell, run({"completion", shell}).out);
        const Ran ran = run("/usr/bin/" + shell, {"-n", shell}, {.folder = folder});
        CHECK_MESSAGE(ran.status == 0, ("apt-get install " + shell));
        CHECK(ran.err == "");
    }
    const Ran read = run("/usr/bin/shellcheck", {"bash"}, {.folder = folder});
    CHECK_MESSAGE(read.status == 0, ("apt-get install shellcheck\n" + read.out));
    CHECK(run({"completion", "fish"}).status == 2);
}

TEST_CASE("every command and option of the help is offered, and nothing else") {
    std::vector<std::string> commands = commands_in_help();
    CHECK(commands.size() >= 14);
    std::vector<std::string> sorted = commands;
    std::sort(sorted.begin(), sorted.end());
    CHECK(offered({""}, source) == sorted);
    for (const std::string& command : commands) {
        CAPTURE(command);
        std::vector<std::string> long_ones;
        for (const std::string& of : {command, std::string()})
            for (const std::string& option : options_in_help(of))
                if (option.starts_with("--") && !has(long_ones, option)) long_ones.push_back(option);
        std::sort(long_ones.begin(), long_ones.end());
        CHECK(long_ones.size() >= 5);
        CHECK(offered({command, "--"}, source) == long_ones);
    }
}

TEST_CASE("a value belongs to the option before it, and a word to its place") {
    const auto sort = [](const std::vector<std::string>& line) {
        std::string first;
        const auto words = offered(line, source, &first);
        return first != "words" || !words.empty() ? first : "nothing";
    };
    CHECK(sort({"record", "2026-0412", "--from", ""}) == "files");
    CHECK(sort({"record", "2026-0412", "--from", "a.pdf", ""}) == "files"); // there may be several
    CHECK(has(offered({"record", "2026-0412", "--from", "a.pdf", "--c"}, source), "--card"));
    CHECK(sort({"print", "--out", ""}) == "folders");
    CHECK(sort({"print", "--out=ou"}) == "folders");
    CHECK(sort({"print", "--out", "out", "--vehicle", ""}) == "words");
    CHECK(sort({"torque", "--thread", ""}) == "nothing");
    CHECK(sort({"--messages", "js", "check", "br"}) == "files");
    CHECK(has(offered({"--messages", ""}, source), "json"));
    CHECK(has(offered({"print", "--", "2026-041"}, source), "2026-0412"));
    CHECK(sort({"print", "--", "--"}) == "nothing");
    CHECK(sort({"new", "shop", ""}) == "nothing");
    CHECK(!has(offered({"print", "--all", "--"}, source), "--all")); // once is enough
    CHECK(sort({}) == "nothing");
}

TEST_CASE("of a shop that is broken what can be read is told, and of none nothing") {
    const std::string folder = scratch("broken");
    CHECK(offered({"print", ""}, folder).empty());
    write(folder + "/shop.yaml", "shop: yard\nname: [\n");
    write(folder + "/jobs/a-1.yaml", "job: a-1\nvehicle: trike\nidentity: { frame: \"Z 9'\\u00A01\\t\" }\ndo: [\n");
    write(folder + "/jobs/a-2.yaml", "job: a-2\nvehicle: trike\nidentity: { frame: Z 9'1 }\ndo: [work]\n");
    write(folder + "/vehicles/x.yaml", "\xFF\xFE\x00");
    CHECK(has(offered({"print", ""}, folder), "a-2"));
    CHECK(has(offered({"history", "z9"}, folder), "Z9'1"));
    CHECK(offered({"print", "--vehicle", ""}, folder).empty());
    CHECK(offered({"where", ""}, folder).size() <= 3);
    fs::remove(folder + "/shop.yaml");
    CHECK(offered({"--shop", ".", "print", ""}, folder).empty());
}
