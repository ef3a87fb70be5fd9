// A catalogue that several shops share, with git itself: docs/several-shops.md done as it says; what reaches the cards of both shops, and
// when; and what `check` says of merges, those that git cannot settle and those that it settles wrongly.
// BENCHLEAF_BLESS=1 rewrites what the program says on that page.
#include "gates/page.h"
#include "gates/program.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <regex>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

namespace {

const std::string root = BENCHLEAF_SOURCE_DIR;
const std::string page = root + "/docs/several-shops.md";
const std::string struts = "catalogue/rear-struts.yaml";

// A terminal at which nobody but this test has ever used git.
struct Desk {
    std::string home;
    std::string folder; // where it stands

    explicit Desk(const std::string& name) : home(scratch(name)), folder(home + "/shops") {
        fs::create_directories(folder);
    }
    Ran ran(const std::string& line) const {
        return shell(line, folder,
                     {"HOME=" + home, "GIT_CONFIG_NOSYSTEM=1", "GIT_TERMINAL_PROMPT=0", "GIT_EDITOR=false",
                      "GIT_CEILING_DIRECTORIES=" + home, "LC_ALL=C"});
    }
    // What must succeed; what it says.
    std::string does(const std::string& line) const {
        const Ran all = ran(line);
        CAPTURE(line);
        CAPTURE(all.out);
        CAPTURE(all.err);
        REQUIRE(all.status == 0);
        return all.out;
    }
    void edit(const std::string& file, const std::string& from, const std::string& to) const {
        const std::string path = folder + "/" + file;
        write(path, replaced(read(path), from, to));
    }
    // Of the check that fails in that folder below this one.
    std::string refused(const std::string& shop) const {
        const Ran all = ran("benchleaf check --shop " + shop);
        CAPTURE(all.err);
        CHECK(all.status == 1);
        return all.err;
    }
};

std::size_t messages(const std::string& said) {
    std::size_t count = said.starts_with("error: ") || said.starts_with("warning: ") ? 1 : 0;
    for (const std::string begins : {"\nerror: ", "\nwarning: "})
        for (auto at = said.find(begins); at != std::string::npos; at = said.find(begins, at + 1)) ++count;
    return count;
}

void lay_tutorial(const std::string& folder) {
    std::size_t count = 0;
    for (const Block& block : blocks_of(root + "/docs/tutorial.md"))
        if (!block.file.empty()) {
            write(folder + "/" + block.file, block.text());
            ++count;
        }
    CHECK(count == 13);
}

// "in `FILE` write `NEW` in place of `OLD`", and "in `FILE` take out the marks and the side with `WHAT`".
std::size_t do_edits(const Desk& desk, const std::string& shop, const std::string& paragraph) {
    static const std::regex change("[Ii]n `([^`]+)` write `([^`]+)` in place of `([^`]+)`");
    static const std::regex settle("[Ii]n `([^`]+)` take out the marks and the side with `([^`]+)`");
    std::size_t count = 0;
    for (std::sregex_iterator each(paragraph.begin(), paragraph.end(), change), end; each != end; ++each, ++count)
        desk.edit(shop + (*each)[1].str(), (*each)[3], (*each)[2]);
    for (std::sregex_iterator each(paragraph.begin(), paragraph.end(), settle), end; each != end; ++each, ++count) {
        const std::string path = desk.folder + "/" + shop + (*each)[1].str();
        std::stringstream lines(read(path));
        std::string kept;
        std::size_t out = 0;
        for (std::string line; std::getline(lines, line);) {
            const bool mark = line.starts_with("<<<<<<<") || line == "=======" || line.starts_with(">>>>>>>");
            if (mark || line.find((*each)[2]) != std::string::npos)
                ++out;
            else
                kept += line + "\n";
        }
        CHECK(out == 4);
        write(path, kept);
    }
    return count;
}

std::string digest(const Desk& desk, const std::string& shop, const std::string& job) {
    const std::string json = desk.does("benchleaf print " + job + " --as json --shop " + shop);
    static const std::regex key("\"digest\": ?\"([0-9a-f ]+)\"");
    std::string all;
    for (std::sregex_iterator each(json.begin(), json.end(), key), end; each != end; ++each)
        all += (*each)[1].str() + "\n";
    REQUIRE(!all.empty());
    return all;
}

// `shared.git`, and two shops that have taken it: `one` as a submodule, `two` as a subtree. Both have the tutorial's vehicles and jobs.
void lay_two_shops(const Desk& desk) {
    desk.does("git config --global user.name Kim && git config --global user.email kim@hollowbank.example && "
              "git config --global protocol.file.allow always && git config --global init.defaultBranch main && "
              "git config --global commit.gpgsign false && git config --global core.autocrlf false");
    lay_tutorial(desk.folder + "/one");
    desk.does("mkdir shared two; cp -r one/shop.yaml one/vehicles one/jobs two; cp one/shop.yaml shared; "
              "mv one/catalogue one/lifting one/suspension one/wheels shared; echo text > shared/README; "
              "echo text > shared/LICENSE; cd shared && git init -q && git add . && git commit -qm shared && "
              "git clone -q --bare . ../shared.git && git remote add origin ../shared.git && git fetch -q");
    desk.does("cd one && git init -q && git submodule --quiet add -b main ../shared.git shared && git add . && "
              "git commit -qm one");
    desk.does("cd two && git init -q && git add . && git commit -qm two && "
              "git subtree -q add --prefix shared --squash ../shared.git main");
}

constexpr const char* pull_two = "cd two && git subtree -q pull --prefix shared --squash -m pull ../shared.git main";

} // namespace

TEST_CASE("several shops: the page does what it says") {
    Desk desk("git-page");
    lay_tutorial(desk.folder + "/my-shop");
    const std::string shops = desk.folder;
    std::string said;    // by the last command, for people
    std::string printed; // by the last command, on standard output
    std::string paragraph;
    std::size_t edits = 0;
    std::size_t failed = 0;
    std::size_t shown = 0;
    for (const Block& block : blocks_of(page)) {
        CAPTURE(block.before);
        if (!block.file.empty()) {
            write(desk.folder + "/" + block.file, block.text());
        } else if (block.kind == "sh") {
            // A change is made in the shop in which the block's first line goes, or that the page is in.
            const std::string first = block.lines.front();
            const std::string shop = first.starts_with("cd ") ? first.substr(3) + "/" : "";
            if (block.before != paragraph) edits += do_edits(desk, shop, block.before);
            for (const std::string& line : block.lines) {
                CAPTURE(line);
                if (line.starts_with("cd ")) {
                    desk.folder = fs::path(desk.folder + "/" + line.substr(3)).lexically_normal();
                    REQUIRE(fs::is_directory(desk.folder));
                    continue;
                }
                REQUIRE(line.find("benchleaf new") == std::string::npos);
                const bool fails = std::any_of(block.fails.begin(), block.fails.end(),
                                               [&](const std::string& begins) { return line.starts_with(begins); });
                const Ran ran = desk.ran(line);
                CAPTURE(ran.out);
                CAPTURE(ran.err);
                REQUIRE((ran.status != 0) == fails);
                if (line == "benchleaf check" && !fails)
                    CHECK((ran.out.find(": no errors") != std::string::npos ||
                           ran.err.find(": no errors") != std::string::npos));
                // The name of a commit is another one each time.
                static const std::regex commit("[0-9a-f]{40}");
                said = std::regex_replace(ran.err, commit, "a193d7c09c7fb1821155119f48ffea9c248d1f6e");
                printed = ran.out;
                if (fails) ++failed;
            }
        } else if (block.kind == "text" && !(block.lines.size() > 1 && block.lines.front() == "my-shop/")) {
            hold(page, "```text\n" + block.text() + "```\n", "```text\n" + said + "```\n");
            ++shown;
        } else if (block.kind == "diff") {
            for (const std::string& line : block.lines) CHECK(printed.find("\n" + line + "\n") != std::string::npos);
            ++shown;
        } else {
            CHECK((block.kind == "table" || block.kind == "text"));
        }
        paragraph = block.before;
    }
    CHECK(fs::equivalent(desk.folder, shops));
    CHECK(edits == 5);
    CHECK(failed == 3);
    CHECK(shown == 3);
    CHECK(fs::exists(shops + "/river-shop/out/r-17.pdf"));
    // The figure that was kept is in the shared repository, and on River Street's card.
    CHECK(desk.does("git --git-dir shared.git show main:" + struts).find("41 N·m ±10 %") != std::string::npos);
    CHECK(desk.does("benchleaf print r-17 --as text --shop river-shop").find("41 N") != std::string::npos);
}

TEST_CASE("several shops: a shop's cards change when it takes what is new, and not before") {
    const Desk desk("git-cards");
    lay_two_shops(desk);
    for (const char* shop : {"one", "two", "shared"})
        CHECK(desk.ran("benchleaf check --shop " + std::string(shop)).status == 0);
    const std::string before = digest(desk, "one", "2026-001");
    CHECK(digest(desk, "two", "2026-001") == before);
    const std::string other = digest(desk, "one", "2026-002"); // the same bolt is not on it

    desk.edit("shared/" + struts, "38 N·m", "39 N·m");
    desk.does("cd shared && git commit -qam 39 && git push -q origin main");
    CHECK(digest(desk, "one", "2026-001") == before);
    CHECK(digest(desk, "two", "2026-001") == before);

    desk.does("cd one && git submodule --quiet update --remote && git commit -qam 39");
    const std::string after = digest(desk, "one", "2026-001");
    CHECK(after != before);
    CHECK(digest(desk, "one", "2026-002") == other);
    CHECK(digest(desk, "two", "2026-001") == before); // stays with what it has
    // As the revisions have the submodule: that card is named, and the other is not.
    const std::string touched = desk.does("cd one && benchleaf compare HEAD~1: .");
    CHECK(touched.find("cards of job 2026-001\n") != std::string::npos);
    CHECK(touched.find("2026-002") == std::string::npos);

    desk.does(pull_two);
    CHECK(digest(desk, "two", "2026-001") == after);

    // Back to the older state, the older card.
    desk.does("cd one && git revert --no-edit HEAD && git submodule --quiet update");
    CHECK(digest(desk, "one", "2026-001") == before);
}

TEST_CASE("several shops: what nobody can settle but a mechanic is told as that, and nothing is printed") {
    const Desk desk("git-merge");
    lay_two_shops(desk);

    // Two torques of one file, a line between them: git joins them, and both figures are there.
    desk.edit("shared/" + struts, "  lower-strut-bolt: { value", "\n  lower-strut-bolt: { value");
    desk.does("cd shared && git commit -qam 'a blank line' && git push -q origin main");
    desk.does(pull_two);
    desk.edit("shared/" + struts, "38 N·m", "39 N·m");
    desk.does("cd shared && git commit -qam 39 && git push -q origin main");
    desk.edit("two/shared/" + struts, "40 N·m", "43 N·m");
    desk.does("cd two && git commit -qam 43");
    desk.does(pull_two);
    CHECK(desk.ran("benchleaf check --shop two").status == 0);
    const std::string both = read(desk.folder + "/two/shared/" + struts);
    CHECK(both.find("39 N·m") != std::string::npos);
    CHECK(both.find("43 N·m") != std::string::npos);

    // The same torque. One message, in each style in which git writes a conflict, and with Windows line ends.
    desk.edit("shared/" + struts, "39 N·m", "41 N·m");
    desk.does("cd shared && git commit -qam 41 && git push -q origin main");
    desk.edit("two/shared/" + struts, "39 N·m", "36 N·m");
    desk.does("cd two && git commit -qam 36");
    for (const std::string style : {"merge", "diff3", "zdiff3"}) {
        CAPTURE(style);
        desk.does("git config --global merge.conflictStyle " + style);
        CHECK(desk.ran(pull_two).status != 0);
        for (const bool windows : {false, true}) {
            CAPTURE(windows);
            if (windows) desk.does("sed -i 's/$/\\r/' two/shared/" + struts);
            const std::string said = desk.refused("two");
            CHECK(messages(said) == 1);
            CHECK(said.starts_with("error: this file holds a merge that git could not settle [unsettled-merge]\n"
                                   "  shared/catalogue/rear-struts.yaml:"));
            CHECK(desk.ran("benchleaf print 2026-001 --shop two").status == 1);
            CHECK(!fs::exists(desk.folder + "/out"));
        }
        desk.does("cd two && git merge --abort");
    }
    CHECK(desk.ran("benchleaf check --shop two").status == 0);
}

TEST_CASE("several shops: what git joins and does not fit is told") {
    const Desk desk("git-silent");
    lay_two_shops(desk);
    const auto of_shared = [&](const std::string& what) {
        desk.does("cd shared && git commit -qam '" + what + "' && git push -q origin main");
    };
    const auto of_two = [&](const std::string& what) {
        desk.does("cd two && git add . && git commit -qm '" + what + "'");
    };

    // Both add a torque of the same bolt, each in another place of the file.
    desk.edit("shared/" + struts, "torques:  ",
              "torques:\n  dust-cover-screw: { value: 5 N·m ±10 %, threads: dry, source: \"invented\" }\n  ");
    desk.edit(
        "shared/" + struts, "  lower-strut-bolt:\n    name",
        "  dust-cover-screw: { name: dust cover screw, thread: M6, class: \"8.8\", head: 10 mm hex, critical: true }\n"
        "  lower-strut-bolt:\n    name");
    of_shared("a screw");
    desk.edit("two/shared/" + struts, "threads: thread-locked, source: \"invented for the tutorial\" }\n",
              "threads: thread-locked, source: \"invented for the tutorial\" }\n"
              "  dust-cover-screw: { value: 6 N·m ±10 %, threads: dry, source: \"invented\" }\n");
    of_two("the torque of a screw");
    desk.does(pull_two);
    std::string said = desk.refused("two");
    CHECK(said.find("`dust-cover-screw` is said twice [duplicate-key]") != std::string::npos);
    CHECK(messages(said) == 1);
    desk.does("cd two && git reset -q --hard HEAD~2");
    desk.does(pull_two);
    CHECK(desk.ran("benchleaf check --shop two").status == 0);

    // One takes the screw out, the other uses it in a procedure of its own.
    desk.does("cd shared && git revert --no-edit HEAD && git push -q origin main");
    write(desk.folder + "/two/suspension/dust-cover.yaml",
          "procedure: dust-cover\ntitle: Dust cover\nrevision: 1\nuses: rear-struts\nsteps:\n"
          "  - slacken: dust-cover-screw\n  - torque: dust-cover-screw\n");
    of_two("a procedure");
    CHECK(desk.ran("benchleaf check --shop two").status == 0);
    desk.does(pull_two);
    said = desk.refused("two");
    CHECK(said.find("nothing declares `dust-cover-screw`, which is named at 2 places [unknown-name]") !=
          std::string::npos);
    CHECK(said.find("to the `fasteners` in shared/catalogue/rear-struts.yaml (") != std::string::npos);
    desk.does("cd two && git rm -q suspension/dust-cover.yaml && git commit -qm out");

    // The shared folder gets a procedure that a shop has already.
    write(desk.folder + "/two/suspension/look.yaml",
          "procedure: look\ntitle: Look at the struts\nrevision: 1\nsteps: [ Look at both struts. ]\n");
    of_two("look");
    desk.does("cp two/suspension/look.yaml shared/lifting/look.yaml; cd shared && git add .");
    of_shared("look");
    desk.does(pull_two);
    said = desk.refused("two");
    CHECK(messages(said) == 1);
    CHECK(said.find("a second procedure is called `look` [duplicate-name]") != std::string::npos);
    CHECK(said.find("shared/lifting/look.yaml:1:12") != std::string::npos);
    CHECK(said.find("  suspension/look.yaml:1:12") != std::string::npos);
}

TEST_CASE("several shops: of a shared folder's shop.yaml nothing counts, and its records are nobody's") {
    const Desk desk("git-nested");
    lay_two_shops(desk);
    const std::string before = digest(desk, "two", "2026-001");
    // Its wrench could not hold the torque, and with its margin the keep figure would be another one.
    desk.edit("two/shared/shop.yaml", "10..60 N·m", "1..5 N·m");
    desk.edit("two/shared/shop.yaml", "margin: 1.25", "margin: 3");
    CHECK(digest(desk, "two", "2026-001") == before);
    CHECK(
        desk.ran("mv two/vehicles two/jobs two/shared/ && benchleaf check --shop two/shared").err.find("[no-wrench]") !=
        std::string::npos); // there it does
    desk.does("mv two/shared/vehicles two/shared/jobs two/");
    // It has to be sound all the same.
    desk.edit("two/shared/shop.yaml", "margin: 3", "margn: 3");
    CHECK(desk.refused("two").find("[unknown-key]") != std::string::npos);
    desk.does("cd two && git checkout -q shared");

    // What one shop leaves unused another may need: no warning.
    desk.does("rm two/jobs/2026-002.yaml two/shared/wheels/rear-hub-grease.yaml");
    CHECK(desk.ran("benchleaf check --shop two").err.find("[unused-entry]") == std::string::npos);
    desk.does("rm two/shared/shop.yaml");
    CHECK(desk.ran("benchleaf check --shop two").err.find("[unused-entry]") != std::string::npos);
    desk.does("cd two && git checkout -q .");

    // A record there is nobody's, and whole or not it is told: by a check, which looks at all files. A card is made of its own.
    write(desk.folder + "/two/shared/records/x/2026-000.yaml", "record: {");
    CHECK(desk.refused("two").find("2026-000.yaml") != std::string::npos);
    CHECK(desk.ran("benchleaf print 2026-001 --shop two").status == 0);
    write(desk.folder + "/two/shared/records/x/2026-000.yaml", "record: 2026-000\n");
    CHECK(desk.refused("two").find("a record does not belong in this file's place [wrong-folder]") !=
          std::string::npos);
}

TEST_CASE("several shops: a shared folder that is not there is told as that, however deep") {
    const Desk desk("git-absent");
    lay_two_shops(desk);
    // Its catalogues in a repository of their own, in it as a submodule.
    desk.does("mkdir base && mv shared/catalogue base && cd base && git init -q && git add . && git commit -qm base");
    desk.does("cd shared && git submodule --quiet add ../base base && git add . && git commit -qm base && git push -q "
              "origin main");
    desk.does("cd one && git submodule --quiet update --remote && git commit -qam base");
    const std::string said =
        "is empty: git has not fetched what is shared there. `git submodule update --init --recursive` fetches it";
    Ran ran = desk.ran("benchleaf check --shop one");
    CHECK(ran.status == 3);
    CHECK(ran.err == "benchleaf: one/shared/base " + said + "\n");
    ran = desk.ran("cd one/jobs && benchleaf print 2026-001");
    CHECK(ran.status == 3);
    CHECK(ran.err.find("shared/base " + said) != std::string::npos);
    desk.does("cd one && git submodule --quiet update --init --recursive && benchleaf check");
    // Any other folder may be empty.
    desk.does("mkdir one/pictures && benchleaf check --shop one");
    // A link to a shared folder, and when that has gone.
    desk.does("mkdir three && cp -r one/shop.yaml one/vehicles one/jobs three && "
              "ln -s ../one/shared three/shared && benchleaf check --shop three");
    desk.does("rm three/shared && ln -s ../nowhere three/shared && ln -s ../nowhere three/photo.jpg");
    ran = desk.ran("benchleaf check --shop three");
    CHECK(ran.status == 3);
    CHECK(ran.err == "benchleaf: cannot read three/shared: No such file or directory\n");
}

TEST_CASE("several shops: git may write line ends anew; of a record that is told") {
    const Desk desk("git-ends");
    desk.does("git config --global user.name Kim && git config --global user.email kim@hollowbank.example");
    desk.does("cp -r " + root +
              "/tests/rendered/served first && cd first && git init -q && git add . && git commit -qm first");
    desk.does("git -c core.autocrlf=true clone -q first second");
    CHECK(read(desk.folder + "/second/shop.yaml").find("\r\n") != std::string::npos);
    const std::string said = desk.refused("second");
    const std::size_t records = messages(said);
    CHECK(records == 8);
    CHECK(said.find("[record-changed]") != std::string::npos);
    std::size_t told = 0;
    for (auto at = said.find("`* -text`"); at != std::string::npos; at = said.find("`* -text`", at + 1)) ++told;
    CHECK(told == records);
    desk.does("cd first && echo '* -text' > .gitattributes && git add . && git commit -qm ends");
    desk.does("git -c core.autocrlf=true clone -q first third && benchleaf check --shop third");
}
