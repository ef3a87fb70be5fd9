// The real program, asked for what it cannot do: the exit status, what it says, and that nothing half-made is left.
#include "gates/program.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <map>
#include <random>
#include <sys/stat.h>

namespace fs = std::filesystem;
using namespace benchleaf::gates;

namespace {

const std::string demo = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";
constexpr const char* small_shop = "shop: small\nname: Small\n";

std::map<std::string, std::string> files_below(const std::string& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::recursive_directory_iterator(folder))
        if (entry.is_regular_file()) files[entry.path().lexically_relative(folder)] = read(entry.path());
    return files;
}

// A message is one line that begins with the program's name; a crash or a stack of text is not.
void says_one_line(const Ran& ran) {
    CAPTURE(ran.err);
    CHECK(ran.err.rfind("benchleaf: ", 0) == 0);
    CHECK(std::count(ran.err.begin(), ran.err.end(), '\n') == 1);
}

std::string first_job() {
    std::vector<std::string> jobs;
    for (const auto& entry : fs::directory_iterator(demo + "/jobs")) jobs.push_back(entry.path().stem());
    std::sort(jobs.begin(), jobs.end());
    return jobs.front();
}

} // namespace

TEST_CASE("wrong usage is 2, says what was meant, and writes nothing to standard output") {
    const std::string empty = scratch("exit-usage");
    struct Wrong {
        std::vector<std::string> arguments;
        std::string says;
    };
    const std::vector<Wrong> wrong = {
        {{}, ""},
        {{"chek"}, "did you mean `check`?"},
        {{"xyzzy"}, "there is no command `xyzzy`"},
        {{"check", "--bogus"}, "there is no option `--bogus`"},
        {{"check", "--stop-aftr", "proof"}, "did you mean `--stop-after`?"},
        {{"check", "--stop-after", "nowhere"}, "nowhere"},
        {{"check", "--dump"}, "--stop-after"},
        {{"check", "--yes"}, "--fix"},
        {{"check", "--color", "blue"}, "blue"},
        {{"check", "--messages", "xml"}, "xml"},
        {{"print"}, "--all"},
        {{"print", "--all", "x"}, "--all"},
        {{"print", "--vehicle", "v"}, "the procedures"},
        {{"print", "x", "--vehicle", "v", "--split"}, "--split"},
        {{"print", "--all", "--as", "docx"}, "docx"},
        {{"print", "--all", "--paper", "a3"}, "a3"},
        {{"print", "--all", "--language", "xx"}, "there is no language `xx`"},
        {{"explain", "left-lose"}, "did you mean `left-loose`?"},
        {{"explain", "xyzzy"}, "there is no check `xyzzy`"},
        {{"new", "record", "2026-0412"}, "`benchleaf record JOB` writes it"},
        {{"new", "answers", "2026-0412"}, "`benchleaf record JOB --sheet` prints"},
        {{"schema"}, "which kind of file?"},
        {{"schema", "job", "--write"}, ""},
        {{"schema", "procdure"}, "did you mean `procedure`?"},
        {{"new", "procedure"}, ""},
        {{"new", "procedur", "x"}, "did you mean `procedure`?"},
        {{"new", "catalogue", "x"}, "no shop here"},
        {{"check"}, "no shop here"},
        {{"check", "--shop", empty}, "has no shop.yaml"},
    };
    for (const Wrong& each : wrong) {
        std::string line;
        for (const auto& word : each.arguments) line += word + " ";
        CAPTURE(line);
        const Ran ran = run(each.arguments, {.folder = empty});
        CAPTURE(ran.err);
        CHECK(ran.status == 2);
        CHECK(ran.out.empty());
        CHECK(ran.err.rfind("benchleaf: ", 0) == 0);
        CHECK(ran.err.find(each.says) != std::string::npos);
    }
    CHECK(files_below(empty).empty());
    for (const std::string& word : {std::string("print 9999"), std::string("check nowhere/at-all.yaml")}) {
        const std::size_t space = word.find(' ');
        const Ran ran = run({word.substr(0, space), word.substr(space + 1), "--shop", demo}, {.folder = empty});
        CAPTURE(ran.err);
        CHECK(ran.status == 2);
    }
    const Ran near = run({"print", first_job() + "x", "--shop", demo}, {.folder = empty});
    CHECK(near.status == 2);
    CHECK(near.err.find("did you mean `" + first_job() + "`?") != std::string::npos);
}

TEST_CASE("help and version are 0, on standard output") {
    for (const std::vector<std::string>& words : std::vector<std::vector<std::string>>{
             {"--help"}, {"-h"}, {"--version"}, {"check", "--help"}, {"print", "-h"}, {"new", "--help"}, {"explain"}}) {
        const Ran ran = run(words);
        CHECK(ran.status == 0);
        CHECK(!ran.out.empty());
        CHECK(ran.err.empty());
    }
}

TEST_CASE("a machine that fails is 3, in one line") {
    const std::string folder = scratch("exit-machine");
    write(folder + "/shop.yaml", small_shop);

    SUBCASE("no such folder") {
        const Ran ran = run({"check", "--shop", folder + "/nowhere"});
        CHECK(ran.status == 3);
        says_one_line(ran);
    }
    SUBCASE("a file in place of a folder") {
        const Ran ran = run({"check", "--shop", folder + "/shop.yaml"});
        CHECK(ran.status == 3);
        says_one_line(ran);
    }
    SUBCASE("a link to nothing") {
        fs::create_symlink("nowhere", folder + "/lost.yaml");
        const Ran ran = run({"check"}, {.folder = folder});
        CHECK(ran.status == 3);
        says_one_line(ran);
        CHECK(ran.err.find("lost.yaml") != std::string::npos);
    }
    SUBCASE("a link that leads back") {
        fs::create_directory(folder + "/brakes");
        fs::create_directory_symlink("..", folder + "/brakes/up");
        const Ran ran = run({"check"}, {.folder = folder});
        CHECK(ran.status == 3);
        says_one_line(ran);
        CHECK(ran.err.find("leads back") != std::string::npos);
    }
    SUBCASE("a pipe in place of a file") {
        REQUIRE(::mkfifo((folder + "/pipe.yaml").c_str(), 0600) == 0);
        const Ran ran = run({"check"}, {.folder = folder, .most_seconds = 5});
        CHECK(ran.status == 3);
        says_one_line(ran);
    }
    SUBCASE("a file that may not be read") {
        write(folder + "/secret.yaml", "catalogue: secret\n");
        fs::permissions(folder + "/secret.yaml", fs::perms::none);
        const bool allowed = !read(folder + "/secret.yaml").empty(); // root may
        const Ran ran = run({"check"}, {.folder = folder});
        fs::permissions(folder + "/secret.yaml", fs::perms::owner_all);
        if (!allowed) {
            CHECK(ran.status == 3);
            says_one_line(ran);
        }
    }
    SUBCASE("a name that cannot be shown") {
        write(folder + "/bad\xFF.yaml", "catalogue: bad\n");
        const Ran ran = run({"check"}, {.folder = folder});
        CHECK(ran.status == 3);
        says_one_line(ran);
    }
    SUBCASE("a full standard output") {
        for (const std::vector<std::string>& words :
             std::vector<std::vector<std::string>>{{"check"},
                                                   {"explain"},
                                                   {"--help"},
                                                   {"schema", "procedure"},
                                                   {"check", "--stop-after", "model", "--dump"}}) {
            const Ran ran = run(words, {.folder = folder, .out = "/dev/full"});
            CHECK(ran.status == 3);
            CHECK(ran.err.find("No space left on device") != std::string::npos);
        }
    }
    SUBCASE("an output folder that is a file, or a device") {
        for (const std::string& out : {folder + "/shop.yaml", std::string("/dev/full")}) {
            const Ran ran = run({"--shop", demo, "print", first_job(), "--out", out}, {.folder = folder});
            CAPTURE(ran.err);
            CHECK(ran.status == 3);
            CHECK(ran.out.empty());
        }
        CHECK(read(folder + "/shop.yaml") == small_shop);
    }
    SUBCASE("a disk that is full, or files that may not grow: no part of a card is left") {
        // RLIMIT_FSIZE stands for the full disk: it too ends a write in its middle, and needs no mount.
        const std::string out = folder + "/out";
        const Ran ran = run("/bin/sh", {"-c", "ulimit -f 8; exec \"$0\" \"$@\"", program(), "--shop", demo, "print",
                                        first_job(), "--out", out});
        CAPTURE(ran.err);
        CHECK(ran.status == 3);
        CHECK(ran.err.find("File too large") != std::string::npos);
        CHECK(ran.out.empty());
        CHECK((!fs::exists(out) || files_below(out).empty()));
    }
    SUBCASE("a full disk") {
        if (fs::space("/dev/shm").capacity == 0) return;
        const std::string mount = scratch("full-disk");
        const Ran mounted = run("/bin/sh", {"-c", "mount -t tmpfs -o size=64k none \"$0\" 2>/dev/null", mount});
        if (mounted.status != 0) {
            MESSAGE("no right to mount a small disk: not looked at");
            return;
        }
        const Ran ran = run({"--shop", demo, "print", "--all", "--out", mount + "/cards"});
        const auto left = files_below(mount);
        run("/bin/sh", {"-c", "umount \"$0\"", mount});
        CHECK(ran.status == 3);
        CHECK(ran.err.find("No space left on device") != std::string::npos);
        for (const auto& file : left) { // jobs that were written before it was full are whole
            const auto& name = file.first;
            const auto& bytes = file.second;
            CAPTURE(name);
            CHECK(name.ends_with(".pdf"));
            CHECK(bytes.find("%%EOF") != std::string::npos);
        }
    }
}

TEST_CASE("input with errors is 1, and leaves nothing") {
    const std::string folder = scratch("exit-input");
    write(folder + "/shop.yaml", small_shop);
    std::mt19937 random(20261125);
    for (int round = 0; round < 12; ++round) {
        std::string bytes(200 + 300U * static_cast<unsigned>(round), '\0');
        for (char& c : bytes) c = static_cast<char>(random());
        write(folder + "/brakes/noise.yaml", bytes);
        write(folder + "/jobs/noise.yaml", bytes);
        const Ran checked = run({"check"}, {.folder = folder});
        CHECK(checked.status == 1);
        CHECK(checked.err.find("error") != std::string::npos);
        const Ran printed = run({"print", "noise"}, {.folder = folder});
        CHECK(printed.status == 1);
        CHECK(printed.out.empty());
        CHECK(!fs::exists(folder + "/out"));
    }
    fs::remove(folder + "/jobs/noise.yaml");
    write(folder + "/brakes/noise.yaml", "");
    CHECK(run({"check"}, {.folder = folder}).status == 1);
    write(folder + "/brakes/noise.yaml", std::string((4U << 20U) + 1, 'x'));
    const Ran large = run({"check"}, {.folder = folder});
    CHECK(large.status == 1);
    CHECK(large.err.find("too-large") != std::string::npos);
}

TEST_CASE("a job with one faulty card writes none of its cards; other jobs are not held up by it") {
    const std::string folder = scratch("exit-faulty");
    fs::copy(demo, folder + "/shop", fs::copy_options::recursive);
    const std::string procedure = folder + "/shop/brakes/brake-road-test.yaml";
    const std::string before = read(procedure);
    REQUIRE(!before.empty());
    write(procedure, before + "  - set: { no-such-setting: on }\n");
    std::size_t held = 0;
    std::size_t printed = 0;
    for (const auto& entry : fs::directory_iterator(folder + "/shop/jobs")) {
        const std::string job = entry.path().stem();
        const bool calls = read(entry.path()).find("brake-road-test") != std::string::npos;
        CAPTURE(job);
        const Ran ran = run({"--shop", folder + "/shop", "print", job, "--out", folder + "/out-" + job});
        CAPTURE(ran.err);
        if (calls) {
            ++held;
            CHECK(ran.status == 1);
            CHECK(ran.out.empty());
            CHECK(!fs::exists(folder + "/out-" + job));
        } else if (ran.status == 0) {
            ++printed;
        }
    }
    CHECK(held > 0);
    CHECK(printed > 0);
}

// The call leaves everything as it was, so nothing else would show that its work is missing from the card.
TEST_CASE("a job is not printed without a procedure that is called in it and could not be read") {
    const std::string folder = scratch("exit-unread");
    fs::copy(demo, folder + "/shop", fs::copy_options::recursive);
    const std::string procedure = folder + "/shop/brakes/brake-road-test.yaml";
    write(procedure, read(procedure) + "  - do: look-around\n");
    fs::create_directories(folder + "/shop/general");
    const std::string called = "procedure: look-around\ntitle: Look around\nrevision: 1\nsteps:\n  - Look around it.\n";
    write(folder + "/shop/general/look-around.yaml", called);
    CHECK(run({"--shop", folder + "/shop", "print", "2026-0412", "--out", folder + "/out"}).status == 0);
    write(folder + "/shop/general/look-around.yaml", called + "  - {\n");
    const Ran ran = run({"--shop", folder + "/shop", "print", "2026-0412", "--out", folder + "/broken"});
    CAPTURE(ran.err);
    CHECK(ran.status == 1);
    CHECK(ran.err.find("unclosed-bracket") != std::string::npos);
    CHECK(!fs::exists(folder + "/broken"));
}

TEST_CASE("the demo shop is clean, and the same cards come out each time") {
    const std::string folder = scratch("exit-demo");
    const Ran checked = run({"check", "--shop", demo});
    CHECK_MESSAGE(checked.status == 0, checked.err);
    CHECK(checked.out.find(" files, ") != std::string::npos);
    const Ran first = run({"--shop", demo, "print", "--all", "--out", "a"}, {.folder = folder});
    CHECK_MESSAGE(first.status == 0, first.err);
    const Ran second = run({"--shop", demo, "print", "--all", "--out", "b"}, {.folder = folder});
    CHECK(second.status == 0);
    const auto cards = files_below(folder + "/a");
    CHECK(cards.size() > 3);
    CHECK(cards == files_below(folder + "/b"));
    for (const auto& [name, bytes] : cards) {
        CHECK(bytes.rfind("%PDF-", 0) == 0);
        CHECK(first.out.find("a/" + name + "\n") != std::string::npos);
    }
    // One file a job; apart, a file for the cover sheet and for each card, and the same each time.
    std::size_t jobs = 0;
    for (const auto& entry : fs::directory_iterator(demo + "/jobs")) {
        CHECK(cards.contains(entry.path().stem().string() + ".pdf"));
        ++jobs;
    }
    CHECK(cards.size() == jobs);
    for (const char* to : {"c", "d"})
        CHECK(run({"--shop", demo, "print", first_job(), "--split", "--out", to}, {.folder = folder}).status == 0);
    const auto apart = files_below(folder + "/c");
    CHECK(apart == files_below(folder + "/d"));
    CHECK(apart.size() > 2);
    CHECK(apart.begin()->first == first_job() + "-0-cover.pdf");
    // As text and as JSON it goes to standard output, and no folder is made.
    fs::remove_all(folder + "/a");
    for (const char* form : {"text", "json"}) {
        const Ran ran = run({"--shop", demo, "print", first_job(), "--as", form}, {.folder = folder});
        CHECK(ran.status == 0);
        CHECK(ran.out.size() > 500);
        CHECK(!fs::exists(folder + "/out"));
    }
}

TEST_CASE("what `new` writes checks clean, or says only what is to be filled in; it overwrites nothing") {
    const std::string folder = scratch("exit-new");
    Ran ran = run({"new", "shop", "my-shop"}, {.folder = folder});
    CHECK(ran.status == 0);
    CHECK(ran.out == "my-shop/shop.yaml\nmy-shop/.schemas/shop.json\n");
    // Where a path is given, it goes there, under the path's last name.
    ran = run({"new", "shop", folder + "/further/other-shop/"}, {.folder = folder});
    CHECK(ran.status == 0);
    CHECK(read(folder + "/further/other-shop/shop.yaml").find("shop: other-shop") != std::string::npos);
    ran = run({"new", "shop", "further/third-shop", "--shop", folder}, {.folder = folder});
    CHECK(ran.status == 2);
    CHECK(ran.err.find("give the name `third-shop` alone") != std::string::npos);
    const std::string shop = folder + "/my-shop";
    ran = run({"check"}, {.folder = shop});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(ran.err.empty());
    struct Kind {
        std::string kind;
        std::string name;
        std::string path;
        std::vector<std::string> to_fill; // keys that are left open
    };
    const std::vector<Kind> kinds = {{"catalogue", "hubs", "catalogue/hubs.yaml", {}},
                                     {"vehicle", "cart-1", "vehicles/cart-1.yaml", {"name"}},
                                     {"procedure", "brakes/look-over", "brakes/look-over.yaml", {"title"}},
                                     {"procedure", "tidy-up", "general/tidy-up.yaml", {"title"}},
                                     {"job", "2026-0001", "jobs/2026-0001.yaml", {"vehicle", "date", "do"}}};
    for (const Kind& kind : kinds) {
        CAPTURE(kind.kind);
        ran = run({"new", kind.kind, kind.name}, {.folder = shop});
        CAPTURE(ran.err);
        CHECK(ran.status == 0);
        const std::string schema = ".schemas/" + kind.kind + ".json";
        CHECK(ran.out == kind.path + "\n" + (kind.name == "tidy-up" ? "" : schema + "\n")); // its kind's is there
        const std::string written = read(shop + "/" + kind.path);
        CHECK(written.starts_with("# yaml-language-server: $schema=../" + schema + "\n"));
        CHECK(read(shop + "/" + schema) == run({"schema", kind.kind}).out);
        ran = run({"check", kind.path}, {.folder = shop});
        CAPTURE(ran.err);
        CHECK(ran.status == (kind.to_fill.empty() ? 0 : 1));
        std::size_t errors = 0;
        for (std::size_t at = ran.err.find("[empty-value]"); at != std::string::npos;
             at = ran.err.find("[empty-value]", at + 1))
            ++errors;
        CHECK(errors == kind.to_fill.size());
        for (const std::string& key : kind.to_fill) CHECK(ran.err.find("`" + key + "`") != std::string::npos);
        const std::string whole = ": " + (errors == 0 ? std::string("no errors, no warnings")
                                                      : std::to_string(errors) + (errors == 1 ? " error" : " errors"));
        CHECK_MESSAGE(ran.out.find(whole) != std::string::npos, ran.out);
        // Again: it stays.
        write(shop + "/" + kind.path, "mine");
        ran = run({"new", kind.kind, kind.name}, {.folder = shop});
        CHECK(ran.status == 2);
        CHECK(read(shop + "/" + kind.path) == "mine");
        write(shop + "/" + kind.path, written);
    }
    for (const char* bad : {"../out", "Brakes/x", "a/../../b", "/tmp/x", "x y", ".hidden", "catalogue/x", ""})
        CHECK(run({"new", "procedure", bad}, {.folder = shop}).status == 2);
    // The schemas are the program's own: one that differs is written anew, one that is there is left in peace.
    write(shop + "/.schemas/job.json", "mine");
    CHECK(run({"new", "job", "2026-0002"}, {.folder = shop}).out == "jobs/2026-0002.yaml\n.schemas/job.json\n");
    ran = run({"schema", "--write"}, {.folder = shop + "/jobs"});
    CHECK(ran.status == 0);
    CHECK(ran.out == "../.schemas/record.json\n../.schemas/answers.json\n../.schemas/approval.json\n");
    ran = run({"schema", "--write"}, {.folder = shop});
    CHECK(ran.status == 0);
    CHECK(ran.out.empty());
    CHECK(ran.err == "the schemas are there, and as they should be\n");
    CHECK(run({"new", "shop", "my-shop"}, {.folder = folder}).status == 2);
}

TEST_CASE("--fix shows, --yes writes, a link and a byte order mark stay") {
    const std::string folder = scratch("exit-fix");
    write(folder + "/shop.yaml", "\xEF\xBB\xBFshop: fix-me\nname: Fix me\nlangage: en\n");
    fs::rename(folder + "/shop.yaml", folder + "/real.txt");
    fs::create_symlink("real.txt", folder + "/shop.yaml");
    const std::string before = read(folder + "/real.txt");
    Ran ran = run({"check", "--fix"}, {.folder = folder});
    CAPTURE(ran.err);
    CHECK(ran.status == 1);
    CHECK(ran.out.find("-langage: en") != std::string::npos);
    CHECK(ran.out.find("+language: en") != std::string::npos);
    CHECK(read(folder + "/real.txt") == before);
    ran = run({"check", "--fix", "--yes"}, {.folder = folder});
    CHECK(ran.status == 0);
    CHECK(fs::is_symlink(folder + "/shop.yaml"));
    CHECK(read(folder + "/real.txt") == "\xEF\xBB\xBFshop: fix-me\nname: Fix me\nlanguage: en\n");
    CHECK(files_below(folder).size() == 2);
}

TEST_CASE("colour only where it is wanted") {
    const std::string folder = scratch("exit-colour");
    write(folder + "/shop.yaml", "shop: x\nname: X\nnonsense: 1\n");
    const auto coloured = [](const Ran& ran) { return ran.err.find('\x1b') != std::string::npos; };
    CHECK(!coloured(run({"check"}, {.folder = folder})));
    CHECK(coloured(run({"check", "--color", "always"}, {.folder = folder})));
    CHECK(!coloured(run({"check", "--color", "never"}, {.folder = folder})));
    // A terminal of its own (util-linux script).
    const auto in_terminal = [&](const std::string& environment) {
        return run("/usr/bin/script",
                   {"-qec", environment + " " + program() + " --shop " + folder + " check", "/dev/null"});
    };
    if (!fs::exists("/usr/bin/script")) return;
    CHECK(in_terminal("TERM=xterm").out.find('\x1b') != std::string::npos);
    CHECK(in_terminal("TERM=xterm NO_COLOR=1").out.find('\x1b') == std::string::npos);
    CHECK(in_terminal("TERM=dumb").out.find('\x1b') == std::string::npos);
}

TEST_CASE("messages for a program are one JSON array on standard error") {
    const std::string folder = scratch("exit-json");
    write(folder + "/shop.yaml", "shop: x\nname: X\nnonsense: 1\n");
    const Ran ran = run({"check", "--messages", "json"}, {.folder = folder});
    CHECK(ran.status == 1);
    CHECK(ran.err.rfind('[', 0) == 0);
    CHECK(ran.err.ends_with("]\n"));
    CHECK(ran.err.find("\"unknown-key\"") != std::string::npos);
    write(folder + "/shop.yaml", "shop: x\nname: X\n");
    CHECK(run({"check", "--messages", "json"}, {.folder = folder}).err == "[]\n");
}

TEST_CASE("a file that is not there is asked for in the shop's own folder") {
    const Ran ran = run({"check", "nosuch/a.yaml"}, {.folder = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures"});
    CHECK(ran.status == 2);
    CHECK(ran.err.find("there is no file nosuch/a.yaml, here or in the shop") != std::string::npos);
}
