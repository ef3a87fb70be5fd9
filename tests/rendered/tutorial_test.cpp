// The tutorial, done as it says: its files are written, its commands run in a shell with the real program, its mistakes made one by
// one, and the program has to say what the tutorial shows. Then what README.md shows of the same shop, and its everyday commands.
// BENCHLEAF_BLESS=1 rewrites what the program says on both pages.
#include "gates/page.h"
#include "gates/program.h"

#include <algorithm>
#include <cstdlib>
#include <doctest/doctest.h>
#include <map>
#include <regex>
#include <set>
#include <sstream>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

namespace {

const std::string root = BENCHLEAF_SOURCE_DIR;
const std::string tutorial = "/docs/tutorial.md";
const std::string readme = "/README.md";
const std::string procedure = "suspension/rear-struts.yaml"; // the one that the tutorial writes

// The first lines of all messages, without "error: ", as a table tells them.
std::string titles(const std::string& said) {
    std::stringstream lines(said);
    std::string all;
    for (std::string line; std::getline(lines, line);)
        if (line.starts_with("error: ") || line.starts_with("warning: "))
            all += (all.empty() ? "" : "; ") + line.substr(line.find(' ') + 1);
    return all;
}

// A number stays with its unit; a page is written with plain spaces.
std::string with_plain_spaces(std::string text) {
    static const std::string hard = "\u00a0";
    for (auto at = text.find(hard); at != std::string::npos; at = text.find(hard)) text.replace(at, hard.size(), " ");
    return text;
}

struct Mistake {
    std::string told; // as the tutorial's table tells it
    std::string file;
    std::string from;
    std::string to;
};

const std::vector<Mistake>& mistakes() {
    static const std::string catalogue = "catalogue/rear-struts.yaml";
    static const std::vector<Mistake> all = {
        {"take out `- fit: strut`", procedure, "  - fit: strut\n", ""},
        {"take out `- remove: upper-strut-nut`", procedure, "  - remove: upper-strut-nut\n", ""},
        {"take out the step `apply: locker-medium`", procedure,
         "  - apply: locker-medium\n    to: lower-strut-bolt\n    amount: 2 drops\n", ""},
        {"take out the step `fit: strut-bush` in the question", procedure,
         "      - fit: strut-bush\n        say: Press the new bushes in, flush with the eye.\n", ""},
        {"take `rear-end: jacked` out of `rear-end-up`", "lifting/rear-end-up.yaml",
         "  - set: { rear-end: jacked }\n    say: Raise the rear end at the maker's lifting point.\n"
         "    tool: trolley-jack\n",
         ""},
        {"take `rear-end-down` out of the job", "jobs/2026-001.yaml", ", rear-end-down", ""},
        {"take the torque of the lower strut bolt out of the catalogue", catalogue,
         "  lower-strut-bolt: { value: 38 N·m ±10 %, threads: thread-locked, source: \"invented for the tutorial\" }\n",
         ""},
        {"write `80 N·m` for it", catalogue, "38 N·m", "80 N·m"},
    };
    return all;
}

// What the tutorial has done so far.
struct Walk {
    std::string folder; // where its terminal stands
    std::map<std::string, std::string> files;
    std::vector<std::string> commands;
    std::vector<std::string> tree; // the drawing of the shop's folders
    std::string left_out;          // the line that is forgotten
    std::string said;              // and what the program says of it
    bool mended = true;            // whether it stands in its file again
    std::size_t mistakes = 0;
};

void take_command(Walk& walk, const std::string& line) {
    if (line.starts_with("export PATH=")) return; // shell() knows the program
    if (line.starts_with("cd ")) {
        walk.folder = fs::path(walk.folder + "/" + line.substr(3)).lexically_normal();
        REQUIRE(fs::is_directory(walk.folder));
        return;
    }
    CAPTURE(line);
    REQUIRE(line.starts_with("benchleaf "));
    walk.commands.push_back(line);
    const Ran ran = shell(line, walk.folder);
    CAPTURE(ran.err);
    // While the line is left out a check fails; then it is put back.
    if (line == "benchleaf check --fix --yes" && !walk.mended) {
        walk.mended = true;
        CHECK(read(walk.folder + "/" + procedure).find("\n  " + walk.left_out + "\n") != std::string::npos);
        write(walk.folder + "/" + procedure, walk.files.at(procedure)); // in its own order
    }
    const bool fails = !walk.mended && line.starts_with("benchleaf check");
    CHECK(ran.status == (fails ? 1 : 0));
    CHECK(titles(ran.err).empty() != fails);
}

// "Take `- torque: lower-strut-bolt` out of the procedure, … and check again."
void leave_out(Walk& walk, const Block& block) {
    static const std::regex take("^Take `([^`]+)` out of the procedure");
    std::smatch found;
    REQUIRE(std::regex_search(block.before, found, take));
    REQUIRE(walk.left_out.empty());
    walk.left_out = found[1];
    walk.mended = false;
    write(walk.folder + "/" + procedure, replaced(walk.files.at(procedure), "  " + walk.left_out + "\n", ""));
    const Ran ran = shell("benchleaf check", walk.folder);
    CHECK(ran.status == 1);
    walk.said = ran.err;
    hold(root + tutorial, block.text(), walk.said);
    const Ran printed = shell("benchleaf print 2026-001", walk.folder);
    CHECK(printed.status == 1);
    CHECK(printed.err.starts_with(walk.said));
    CHECK(!fs::exists(walk.folder + "/out")); // there is no card
}

// | what is done | what the program says |
void try_mistake(Walk& walk, const std::string& row) {
    CAPTURE(row);
    const auto bar = row.find(" | ");
    REQUIRE(bar != std::string::npos);
    const std::string told = row.substr(2, bar - 2);
    const auto mistake =
        std::find_if(mistakes().begin(), mistakes().end(), [&](const Mistake& each) { return each.told == told; });
    REQUIRE(mistake != mistakes().end());
    const std::string path = walk.folder + "/" + mistake->file;
    write(path, replaced(walk.files.at(mistake->file), mistake->from, mistake->to));
    const Ran ran = shell("benchleaf check", walk.folder);
    CAPTURE(ran.err);
    CHECK(ran.status == 1);
    hold(root + tutorial, row, "| " + told + " | " + with_plain_spaces(titles(ran.err)) + " |");
    write(path, walk.files.at(mistake->file));
    ++walk.mistakes;
}

Walk walked(const std::string& name) {
    Walk walk;
    walk.folder = scratch(name) + "/repository";
    fs::create_directories(walk.folder);
    for (const Block& block : blocks_of(root + tutorial)) {
        CAPTURE(block.before);
        if (!block.file.empty()) {
            CHECK(block.kind == "yaml");
            walk.files[block.file] = block.text();
            write(walk.folder + "/" + block.file, block.text());
        } else if (block.kind == "sh") {
            for (const std::string& line : block.lines) take_command(walk, line);
        } else if (block.kind == "text" && block.lines.front() == "my-shop/") {
            walk.tree = block.lines;
        } else if (block.kind == "text") {
            leave_out(walk, block);
        } else if (block.kind == "table" && block.lines.front() == "| mistake | what it says |") {
            CHECK(walk.mended);
            for (std::size_t i = 2; i < block.lines.size(); ++i) try_mistake(walk, block.lines[i]);
        } else {
            CHECK(block.kind == "table");
        }
    }
    return walk;
}

// A line without its comment, the blanks around it and where its figure comes from.
std::string bare(const std::string& line) {
    static const std::regex beside(R"(^ +|( +#.*)$|, source: "[^"]*")");
    return std::regex_replace(line, beside, "");
}

} // namespace

TEST_CASE("the tutorial does what it says") {
    const Walk walk = walked("tutorial");
    CHECK(fs::path(walk.folder).filename() == "my-shop");
    CHECK(walk.files.size() == 13);
    CHECK(walk.commands.size() >= 8);
    CHECK(walk.mistakes == mistakes().size());

    // Its drawing of the folders is of this shop.
    REQUIRE(walk.tree.size() >= 6);
    for (std::size_t i = 1; i < walk.tree.size(); ++i) {
        const std::string name = bare(walk.tree[i]).substr(0, bare(walk.tree[i]).find(' '));
        CAPTURE(name);
        const bool any = std::any_of(walk.files.begin(), walk.files.end(), [&](const auto& file) {
            return file.first == name ||
                   (name.ends_with("/*.yaml") && fs::path(file.first).parent_path() == fs::path(name).parent_path());
        });
        CHECK(any);
    }

    // One PDF a procedure of each job, and the blank; the keep figure is q = 1.25 · 4000 / 8300, (2.0 + 0.1 + q · 3.0) / (1 + q)
    // = 2.44, up to the gauge's step.
    std::set<std::string> cards;
    for (const auto& entry : fs::directory_iterator(walk.folder + "/out")) cards.insert(entry.path().filename());
    CHECK(cards == std::set<std::string>{"2026-001.pdf", "2026-002.pdf", "rear-struts-merrivane-packer-150.pdf"});
    const Ran text = shell("benchleaf print 2026-001 --as text", walk.folder);
    CHECK(text.out.find("keep ≥ 2.5") != std::string::npos);

    // "Show the remedies as a difference, and only then let them be written": a misspelt name.
    const std::string path = walk.folder + "/" + procedure;
    const std::string wrong = replaced(walk.files.at(procedure), "with: degreaser", "with: degreasr");
    write(path, wrong);
    const Ran difference = shell("benchleaf check --fix", walk.folder);
    CHECK(difference.out.find("-    with: degreasr\n+    with: degreaser\n") != std::string::npos);
    CHECK(read(path) == wrong);
    CHECK(shell("benchleaf check --fix --yes", walk.folder).status == 0);
    CHECK(read(path) == walk.files.at(procedure));
}

TEST_CASE("the README shows the tutorial's shop") {
    const Walk walk = walked("readme");
    std::vector<std::string> told;
    int messages = 0;
    for (const Block& block : blocks_of(root + readme)) {
        if (block.kind == "yaml") {
            // Its lines are some of the tutorial's, in their order.
            const std::string& file = walk.files.at(told.empty() ? "catalogue/rear-struts.yaml" : procedure);
            std::stringstream lines(file);
            std::string line;
            for (const std::string& each : block.lines) {
                CAPTURE(each);
                while (std::getline(lines, line) && bare(line) != bare(each)) {
                }
                CHECK(bool(lines));
                told.push_back(each);
            }
        } else if (block.kind == "text") {
            CHECK(block.before == "Forget the last line, and there is no card:");
            hold(root + readme, block.text(), walk.said);
            ++messages;
        }
    }
    REQUIRE(!told.empty());
    CHECK(bare(told.back()) == walk.left_out);
    CHECK(messages == 1);
}

TEST_CASE("the README's everyday commands work on the demo shop") {
    const std::string folder = scratch("everyday");
    fs::copy(root + "/procedures", folder + "/procedures", fs::copy_options::recursive);
    std::size_t count = 0;
    for (const Block& block : blocks_of(root + readme))
        for (const std::string& line : block.lines) {
            if (block.kind != "sh" || !line.starts_with("benchleaf ")) continue;
            CAPTURE(line);
            const Ran ran = shell(line, folder);
            CAPTURE(ran.err);
            CHECK(ran.status == 0);
            CHECK(titles(ran.err).empty());
            ++count;
        }
    CHECK(count >= 10);
    CHECK(fs::exists(folder + "/out/2026-0412.pdf"));
    CHECK(fs::exists(folder + "/out/front-disc-service-ostrel-haul-300.pdf"));
    CHECK(fs::exists(folder + "/my-shop/shop.yaml"));
    CHECK(fs::file_size(folder + "/procedures/.schemas/procedure.json") > 1000);
}
