// The program where nobody thought that it would be run: on a disk that cannot be written, with the clock wrong, in a language that there is not, with no terminal,
// too little of everything, its folder gone, and under names that no one would choose. What comes of it is right, or it says plainly why not.
#include "gates/program.h"
#include "gates/small_shop.h"

#include "digest/digest.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <sched.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>

namespace fs = std::filesystem;
using namespace benchleaf;
using namespace benchleaf::gates;

namespace {

using Words = std::vector<std::string>;

// The shop, and what its card, its check and its record are where nothing is odd.
struct Usual {
    std::string at;
    std::string checked;
    std::map<std::string, std::string> cards, records;
};

const Words check_it = {"--shop", "shop", "check"};
const Words print_it = {"--shop", "shop", "print", "cart-1", "--out", "cards"};
const Words record_it = {"--shop", "shop", "record", "cart-1", "--from", "answers.yaml", "--out", "pages"};

void fresh_shop(const std::string& at) {
    fs::remove_all(at);
    small_shop(at + "/shop");
    write(at + "/answers.yaml", answers());
}

Usual usual(const std::string& name) {
    Usual made;
    made.at = scratch("odd-" + name) + "/usual";
    fresh_shop(made.at);
    const How how{.folder = made.at};
    const Ran checked = run(check_it, how);
    REQUIRE_MESSAGE(checked.status == 0, checked.err);
    made.checked = checked.out;
    REQUIRE(run(print_it, how).status == 0);
    REQUIRE(run(record_it, how).status == 0);
    made.cards = below(made.at + "/cards");
    made.records = below(made.at + "/shop/records");
    fresh_shop(made.at);
    return made;
}

// All three come out as ever.
void is_as_usual(const Usual& usual, const How& how) {
    fresh_shop(usual.at);
    const Ran checked = run(check_it, how);
    CHECK_MESSAGE(checked.status == 0, checked.err);
    CHECK(checked.out == usual.checked);
    const Ran printed = run(print_it, how);
    CHECK_MESSAGE(printed.status == 0, printed.err);
    CHECK(below(usual.at + "/cards") == usual.cards);
    const Ran recorded = run(record_it, how);
    CHECK_MESSAGE(recorded.status == 0, recorded.err);
    CHECK(below(usual.at + "/shop/records") == usual.records);
}

// What a shell does with the program: `$B` on its line.
Ran shell(const std::string& folder, const std::string& line) {
    return run("/bin/sh", {"-c", line}, {.folder = folder, .environment = {"B=" + program()}});
}

bool crashed(const Ran& ran) {
    return ran.status >= 128 || ran.status == 99 || has(ran.err, "terminate called") || has(ran.err, "Sanitizer");
}

// It did it, or a line that begins with its name says why not.
void right_or_plain(const Ran& ran) {
    CAPTURE(ran.err);
    CHECK(!crashed(ran));
    CHECK(ran.status <= 3);
    if (ran.status != 0) CHECK(has(ran.err, "benchleaf: "));
}

} // namespace

TEST_CASE("a shop on a disk that cannot be written") {
    const Usual as_ever = usual("read-only");
    const std::string& at = as_ever.at;
    REQUIRE(run({"--shop", "shop", "bundle", "plate", "--out", "b.yaml"}, {.folder = at}).status == 0);
    fs::copy(at + "/shop", at + "/bad", fs::copy_options::recursive);
    spoil_in(at + "/bad/shop.yaml", "signs:", "sings:");
    const std::string elsewhere = fs::path(at).parent_path().string() + "/elsewhere";
    const auto before = below(at);
    const pid_t child = fork();
    if (child == 0) {
        const bool own = unshare(CLONE_NEWNS) == 0 || unshare(CLONE_NEWUSER | CLONE_NEWNS) == 0;
        if (!own || mount(nullptr, "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0 ||
            mount(at.c_str(), at.c_str(), nullptr, MS_BIND, nullptr) != 0 ||
            mount(nullptr, at.c_str(), nullptr, MS_REMOUNT | MS_BIND | MS_RDONLY, nullptr) != 0)
            _exit(2);
        int wrong = 0;
        const auto expect = [&](const Words& words, int status, const std::string& says) {
            const Ran ran = run(words, {.folder = at});
            if (ran.status == status && has(ran.err, says)) return;
            ++wrong;
            fprintf(stderr, "%s: %d %s\n", words[2].c_str(), ran.status, ran.err.c_str());
        };
        const std::string why = "Read-only file system";
        expect(check_it, 0, "");
        expect({"--shop", "shop", "print", "cart-1", "--out", elsewhere}, 0, "");
        expect({"--shop", "shop", "bundle", "plate", "--out", elsewhere + "/c.yaml"}, 0, "");
        expect({"--shop", "shop", "record", "cart-1", "--sheet"}, 0, "");
        expect(print_it, 3, why);
        expect(record_it, 3, why);
        expect({"--shop", "shop", "record", "cart-1"}, 3, why);
        expect({"--shop", "shop", "approve", "plate", "--by", "AB"}, 3, why);
        expect({"--shop", "shop", "new", "job", "cart-2"}, 3, why);
        expect({"--shop", "shop", "schema", "--write"}, 3, why);
        expect({"--shop", "bad", "check"}, 1, "sings");
        expect({"--shop", "bad", "check", "--fix"}, 1, "");
        expect({"--shop", "bad", "check", "--fix", "--yes"}, 3, why);
        expect({"--shop", "bad", "adopt", "b.yaml"}, 0, "nothing to take");
        _exit(wrong == 0 ? 0 : 1);
    }
    int status = 0;
    waitpid(child, &status, 0);
    if (WEXITSTATUS(status) == 2)
        MESSAGE("this machine gives no space of mounts of its own; not tried");
    else
        CHECK(WEXITSTATUS(status) == 0);
    CHECK(below(at) == before);
    if (WEXITSTATUS(status) != 2) CHECK(read(elsewhere + "/cart-1.pdf") == as_ever.cards.at("cart-1.pdf"));

    // By rights: another user, who may read all of it.
    fresh_shop(at);
    const auto clean = below(at + "/shop");
    if (getuid() == 0) {
        static constexpr uid_t nobody = 65534;
        const std::string home = "/tmp/benchleaf-odd-" + std::to_string(getpid());
        fs::create_directories(home);
        fs::permissions(home, fs::perms::all);
        fs::copy(at + "/shop", home + "/shop", fs::copy_options::recursive);
        write(home + "/answers.yaml", answers());
        const auto as_nobody = [&](const Words& words) {
            return run(words, {.folder = home, .in_child = [] {
                                   if (setgid(nobody) != 0 || setuid(nobody) != 0) _exit(125);
                               }});
        };
        const Ran checked = as_nobody(check_it);
        if (checked.status == 126 || checked.status == 127) {
            MESSAGE("another user cannot start the program here; not tried");
        } else {
            CHECK_MESSAGE(checked.status == 0, checked.err);
            CHECK(as_nobody(print_it).status == 0);
            CHECK(below(home + "/cards") == as_ever.cards);
            const Ran recorded = as_nobody(record_it);
            CHECK(recorded.status == 3);
            CHECK_MESSAGE(has(recorded.err, "cannot make the folder shop/records: Permission denied"), recorded.err);
            CHECK(as_nobody({"--shop", "shop", "approve", "plate", "--by", "AB"}).status == 3);
            CHECK(below(home + "/shop") == clean);
        }
        fs::remove_all(home);
    }
}

TEST_CASE("whatever the clock says: the same card, and an approval that can be read") {
    const Usual as_ever = usual("clock");
    const std::string& at = as_ever.at;
    // The time that the program is told, in the place of the system's.
    write(at + "/../clock.c",
          "#define _GNU_SOURCE\n#include <stdlib.h>\n#include <sys/time.h>\n#include <time.h>\n"
          "static time_t now(void) { return (time_t)atoll(getenv(\"TOLD\")); }\n"
          "time_t time(time_t* to) { if (to) *to = now(); return now(); }\n"
          "int gettimeofday(struct timeval* to, void* z) { (void)z; to->tv_sec = now(); "
          "to->tv_usec = 0; return 0; }\n"
          "int clock_gettime(clockid_t id, struct timespec* to) { static long ticks; to->tv_nsec = 0; "
          "to->tv_sec = id == CLOCK_REALTIME ? now() : 100 + ticks++; return 0; }\n");
    const std::string library = at + "/../clock.so";
    const Ran built = run("/usr/bin/cc", {"-shared", "-fPIC", "-O1", "-o", library, at + "/../clock.c"});
    REQUIRE_MESSAGE(built.status == 0, built.err);
    const auto told = [&](const std::string& seconds) {
        return How{.folder = at,
                   .environment = {"LD_PRELOAD=" + library, "TOLD=" + seconds,
                                   "ASAN_OPTIONS=verify_asan_link_order=0:exitcode=99"}};
    };
    for (const std::string seconds :
         {"0", "-1", "-86400000", "1", "2147483647", "2147483648", "4294967295", "4294967296", "32503680000",
          "253402300799", "253402300800", "-62135596801", "1000000000000", "9223372036", "9223372037"}) {
        CAPTURE(seconds);
        const How how = told(seconds);
        fresh_shop(at);
        const Ran checked = run(check_it, how);
        CHECK_MESSAGE(checked.status == 0, checked.err);
        CHECK(run(print_it, how).status == 0);
        CHECK(below(at + "/cards") == as_ever.cards);
        for (const Words& words : std::vector<Words>{
                 {"--shop", "shop", "approve", "plate", "--by", "AB"}, record_it, {"--shop", "shop", "due"}}) {
            CAPTURE(words[2]);
            const auto before = below(at + "/shop");
            const Ran ran = run(words, how);
            right_or_plain(ran);
            if (ran.status != 0) CHECK(below(at + "/shop") == before); // it said why not, and wrote nothing
            // With the clock right again all can be read: what was written has a date.
            const Ran after = run(check_it, {.folder = at});
            CHECK_MESSAGE(after.status == 0, after.err);
        }
    }
    // Between two runs it goes back: what stands stays.
    fresh_shop(at);
    CHECK(run({"--shop", "shop", "approve", "plate", "--by", "AB"}, told("1900000000")).status == 0);
    CHECK(run({"--shop", "shop", "approve", "plate", "--by", "CD"}, told("1700000000")).status == 0);
    CHECK(run(record_it, told("1800000000")).status == 0);
    CHECK(run({"--shop", "shop", "due"}, told("1700000000")).status == 0);
    CHECK(run(check_it, told("1600000000")).status == 0);
    CHECK(below(at + "/shop/approvals").size() == 2);
}

TEST_CASE("in whatever language and zone: the same bytes") {
    const Usual as_ever = usual("locale");
    const std::string made = fs::path(as_ever.at).parent_path().string() + "/locales";
    fs::create_directories(made);
    for (const std::string name : {"tr_TR", "de_DE"}) { // another i, and a comma in figures
        const Ran built = run("/usr/bin/localedef", {"-i", name, "-f", "UTF-8", made + "/" + name + ".UTF-8"});
        REQUIRE_MESSAGE(fs::exists(made + "/" + name + ".UTF-8"), std::string("apt-get install locales: " + built.err));
    }
    const std::string path = "LOCPATH=" + made;
    for (const std::vector<std::string>& settings :
         std::vector<std::vector<std::string>>{{path, "LC_ALL=tr_TR.UTF-8"},
                                               {path, "LC_ALL=de_DE.UTF-8", "LANG=de_DE.UTF-8"},
                                               {"LC_ALL=C"},
                                               {"LC_ALL=POSIX"},
                                               {"LC_ALL=xx_XX.no-such"},
                                               {"LANG="},
                                               {"LANGUAGE=tr:de", path, "LANG=tr_TR.UTF-8", "LC_NUMERIC=de_DE.UTF-8"},
                                               {"TZ=Pacific/Kiritimati"},
                                               {"TZ=:/etc/shadow"},
                                               {"TZ=nonsense+99:99"},
                                               {"HOME="},
                                               {"HOME=/nonexistent", "TMPDIR=/nonexistent"},
                                               {"TMPDIR=", "TERM="},
                                               {"TERM=dumb", "COLUMNS=1"},
                                               {"COLUMNS=999999999999", "LINES=-1"},
                                               {"NO_COLOR=", "TERM=no-such"}}) {
        const std::string all = fmt::format("{}", fmt::join(settings, " "));
        CAPTURE(all);
        is_as_usual(as_ever, {.folder = as_ever.at, .environment = settings});
    }
}

TEST_CASE("with standard streams closed, full, or cut off, nothing lands where it does not belong") {
    const Usual as_ever = usual("streams");
    const std::string& at = as_ever.at;
    struct Line {
        std::string line;
        int status; // -1: any that is right
    };
    for (const Line& each :
         std::vector<Line>{{"$B --shop shop print cart-1 --out cards <&-", 0},
                           {"$B --shop shop print cart-1 --out cards >&-", 3},
                           {"$B --shop shop print cart-1 --out cards 2>&-", 0},
                           {"$B --shop shop print cart-1 --out cards <&- >&- 2>&-", 3},
                           {"$B --shop shop print cart-1 --out cards </dev/null >/dev/null 2>/dev/null", 0},
                           {"$B --shop shop print cart-1 --out cards >/dev/full", 3},
                           {"$B --shop shop print cart-1 --out cards 2>/dev/full", 0}}) {
        CAPTURE(each.line);
        fresh_shop(at);
        CHECK(shell(at, each.line).status == each.status);
        CHECK(below(at + "/cards") == as_ever.cards);
    }
    for (const Line& each :
         std::vector<Line>{{"$B --shop shop record cart-1 --from answers.yaml --out pages <&- >&- 2>&-", 3},
                           {"$B --shop shop record cart-1 --from answers.yaml --out pages 2>&-", 0},
                           {"$B --shop shop record cart-1 --from answers.yaml --out pages >/dev/full 2>/dev/full", 3},
                           {"$B --shop shop record cart-1 --from answers.yaml --out pages 2>&1 | true; exit 0", 0}}) {
        CAPTURE(each.line);
        fresh_shop(at);
        CHECK(shell(at, each.line).status == each.status);
        for (int tries = 0; tries < 100 && !fs::exists(at + "/pages/cart-1.customer.pdf"); ++tries) usleep(20'000);
        CHECK(below(at + "/shop/records") == as_ever.records);
        CHECK(below(at + "/pages").size() == 1);
    }
    // Typing with what it asks going nowhere: the draft has what was typed, and nothing that was said.
    fresh_shop(at);
    const Ran typed = shell(at, "yes x | head -3 | $B --shop shop record cart-1 2>&-");
    CHECK(!crashed(typed));
    for (const auto& [path, text] : below(at + "/shop/records")) {
        CHECK(path == "ct-0417/cart-1.draft");
        CHECK(!has(text, "foot of each card"));
    }
    CHECK(shell(at, "$B --shop shop record cart-1 <&-").status == 1);
    // Nobody reads on: it ends without a word, as any program in a pipe does, once the pipe is full.
    const Ran piped =
        shell(at, "{ $B schema job; echo $? >&3; } 3>status 2>said | head -c 1 >/dev/null; cat said status");
    CHECK((piped.out == "141\n" || piped.out == "0\n"));
    // A pipe that must not wait.
    const Ran slow = run("/usr/bin/python3", {"-c",
                                              "import os, subprocess, sys, time\n"
                                              "a, b = os.pipe()\n"
                                              "os.set_blocking(b, False)\n"
                                              "p = subprocess.Popen([sys.argv[1], 'schema', 'procedure'], stdout=b)\n"
                                              "os.close(b)\n"
                                              "time.sleep(0.3)\n"
                                              "got = b''\n"
                                              "while True:\n"
                                              "    piece = os.read(a, 65536)\n"
                                              "    if not piece: break\n"
                                              "    got += piece\n"
                                              "sys.stdout.buffer.write(got)\n"
                                              "sys.exit(p.wait())\n",
                                              program()});
    CHECK_MESSAGE(slow.status == 0, slow.err);
    CHECK(slow.out == run({"schema", "procedure"}).out);
}

TEST_CASE("with too little of everything") {
    const Usual as_ever = usual("limits");
    const std::string& at = as_ever.at;
    // Files that may be open. (The sanitizers open some of their own to look whether memory can be read, and take it that it cannot.)
    static rlim_t most = 0;
    for (most = BENCHLEAF_TIME_SLACK > 5 ? 16 : 4; most <= 18; ++most) {
        CAPTURE(most);
        for (const Words& words : {check_it, print_it, record_it}) {
            fresh_shop(at);
            const Ran ran = run(words, {.folder = at, .in_child = [] {
                                            const rlimit few{most, most};
                                            setrlimit(RLIMIT_NOFILE, &few);
                                        }});
            if (ran.status == 127 && has(ran.err, "shared libraries")) continue; // the system's loader
            right_or_plain(ran);
            if (ran.status == 0 && words == print_it) CHECK(below(at + "/cards") == as_ever.cards);
            if (ran.status == 0 && words == record_it) CHECK(below(at + "/shop/records") == as_ever.records);
            if (ran.status != 0) CHECK(below(at + "/shop/records").empty());
        }
    }
    // Bytes in a file.
    for (most = 0; most <= 20'000; most += 2'000) {
        CAPTURE(most);
        fresh_shop(at);
        const Ran ran = run(print_it, {.folder = at, .out = "/dev/null", .in_child = [] {
                                           const rlimit few{most, most};
                                           setrlimit(RLIMIT_FSIZE, &few);
                                       }});
        CHECK(ran.status == 3);
        CHECK(below(at + "/cards").empty());
    }
    // Memory. (A sanitizer wants more than any limit here.)
    if (BENCHLEAF_TIME_SLACK > 5) return;
    int failed = 0, done = 0;
    const Words demo = {"--shop", std::string(BENCHLEAF_SOURCE_DIR) + "/procedures", "print", "--all", "--out",
                        "cards"};
    for (most = 16; most <= 400; most += most < 64 ? 2 : 40) {
        CAPTURE(most);
        for (const Words& words : {check_it, print_it, record_it, demo}) {
            fresh_shop(at);
            const Ran ran = run(words, {.folder = at, .in_child = [] {
                                            const rlimit little{most << 20, most << 20};
                                            setrlimit(RLIMIT_AS, &little);
                                        }});
            if (ran.status == 127) continue; // the system's loader
            right_or_plain(ran);
            ++(ran.status == 0 ? done : failed);
            if (ran.status == 0 && words == print_it) CHECK(below(at + "/cards") == as_ever.cards);
            if (ran.status != 0) CHECK(ran.status == 3);
        }
    }
    CHECK(failed > 0);
    CHECK(done > 10);
    MESSAGE(done << " had enough memory, " << failed << " said that they had not");
}

TEST_CASE("whatever the mask: a card is as the mask says, and nothing is half") {
    const Usual as_ever = usual("mask");
    const std::string& at = as_ever.at;
    for (const auto& each : std::vector<std::pair<std::string, unsigned>>{
             {"0000", 0666}, {"0022", 0644}, {"0027", 0640}, {"0077", 0600}, {"0777", 0}}) {
        const std::string& mask = each.first;
        CAPTURE(mask);
        fresh_shop(at);
        const Ran ran = shell(at, "umask " + mask + "; $B --shop shop print cart-1 --out cards");
        if (mask == "0777" && getuid() != 0) { // a folder that nobody may enter
            CHECK(ran.status == 3);
            continue;
        }
        CHECK_MESSAGE(ran.status == 0, ran.err);
        struct stat about {};
        REQUIRE(stat((at + "/cards/cart-1.pdf").c_str(), &about) == 0);
        CHECK((about.st_mode & 0777U) == each.second);
        CHECK(below(at + "/cards") == as_ever.cards);
    }
}

TEST_CASE("its folder is gone") {
    const Usual as_ever = usual("gone");
    const std::string gone = as_ever.at + "/gone";
    const std::string shop = fs::canonical(as_ever.at).string() + "/shop";
    struct Line {
        std::string words;
        int status;
    };
    for (const Line& each : std::vector<Line>{
             {"check", 2},
             {"--shop shop check", 3},
             {"--shop " + shop + " check", 0},
             {"--shop " + shop + " check jobs", 0},
             {"--shop " + shop + " print cart-1", 3},
             {"--shop " + shop + " print cart-1 --as text", 0},
             {"--shop " + shop + " print cart-1 --out /tmp/benchleaf-gone-" + std::to_string(getpid()), 0},
             {"--shop " + shop + " bundle plate --out b.yaml", 3},
             {"--shop " + shop + " approve", 0},
             {"--shop " + shop + " schema --write", 0},
             {"new shop other", 3},
             {"torque 24N·m", 0},
             {"what-next check ''", 0},
             {"explain left-loose", 0}}) {
        CAPTURE(each.words);
        fs::create_directories(gone);
        const Ran ran = shell(gone, "rmdir ../gone; $B " + each.words);
        CAPTURE(ran.err);
        CHECK(ran.status == each.status);
        if (each.status != 0) CHECK(has(ran.err, "benchleaf: "));
        CHECK(!fs::exists(gone));
    }
    fs::remove_all("/tmp/benchleaf-gone-" + std::to_string(getpid()));
}

TEST_CASE("names that nobody would choose, and a shop behind a link") {
    const Usual as_ever = usual("names");
    const std::string root = fs::path(as_ever.at).parent_path().string();
    std::string deep = "/deep";
    while (root.size() + deep.size() < 3700) deep += "/" + std::string(200, 'd');
    for (const std::string& name :
         {std::string("/with blanks"), std::string("/it's \"quoted\""), std::string("/two\nlines"),
          std::string("/Größe µ 日本"), std::string("/-rf"), std::string("/--shop"), std::string("/\xff\xfe"),
          std::string("/$(false)`;&|*?"), std::string("/%s%n\\"), std::string("/ "), deep}) {
        CAPTURE(name);
        const std::string at = root + name;
        fresh_shop(at);
        // As a folder that it is in, and by its path.
        for (const bool by_path : {false, true}) {
            fs::remove_all(at + "/cards");
            const How how{.folder = by_path ? "/" : at};
            const std::string before = by_path ? at + "/" : "";
            const Ran checked = run({"--shop", before + "shop", "check"}, how);
            CHECK_MESSAGE(checked.status == 0, checked.err);
            const Ran printed = run({"--shop", before + "shop", "print", "cart-1", "--out", before + "cards"}, how);
            CHECK_MESSAGE(printed.status == 0, printed.err);
            CHECK(below(at + "/cards") == as_ever.cards);
        }
        const Ran recorded =
            run({"--shop", at + "/shop", "record", "cart-1", "--from", at + "/answers.yaml", "--out", at + "/pages"});
        CHECK_MESSAGE(recorded.status == 0, recorded.err);
        CHECK(below(at + "/shop/records") == as_ever.records);
        CHECK(run({"--shop", at + "/shop", "bundle", "plate", "--out", at + "/b.yaml"}).status == 0);
        spoil_in(at + "/shop/catalogue/frame.yaml", "25 N·m", "22 N·m");
        spoil_in(at + "/shop/work/plate.yaml", "revision: 1", "revision: 3");
        const Ran adopted = run({"--shop", at + "/shop", "adopt", at + "/b.yaml", "--all-theirs"});
        CHECK_MESSAGE(adopted.status == 0, adopted.err);
        fs::remove_all(at);
    }
    fs::remove_all(root + "/deep");
    // A word that begins with a hyphen is a name behind `--` or with its folder.
    CHECK(run({"--shop", "-rf", "check"}, {.folder = as_ever.at}).status != 0);
    // Longer than any path may be: told, not cut.
    for (const std::size_t length : {255U, 256U, 4095U, 4096U, 100'000U}) {
        const std::string name(length, 'x');
        right_or_plain(run({"--shop", name, "check"}, {.folder = as_ever.at}));
        const Ran printed = run({"--shop", "shop", "print", "cart-1", "--out", name}, {.folder = as_ever.at});
        right_or_plain(printed);
        CHECK((printed.status == 0) == (length == 255));
        right_or_plain(run({"new", "shop", name}, {.folder = as_ever.at}));
        right_or_plain(run({"--shop", "shop", "bundle", "plate", "--out", name}, {.folder = as_ever.at}));
        fs::remove_all(as_ever.at + "/" + std::string(255, 'x'));
    }
    // A link to the shop; what is written goes into the shop, and the link stays.
    fresh_shop(as_ever.at);
    fs::create_directory_symlink(as_ever.at + "/shop", root + "/link");
    CHECK(run({"--shop", "link", "check"}, {.folder = root}).status == 0);
    CHECK(run({"--shop", "link", "record", "cart-1", "--from", "usual/answers.yaml"}, {.folder = root}).status == 0);
    CHECK(run({"--shop", "link", "approve", "plate", "--by", "AB"}, {.folder = root}).status == 0);
    CHECK(run({"check"}, {.folder = root + "/link/jobs"}).status == 0);
    CHECK(fs::is_symlink(root + "/link"));
    CHECK(below(as_ever.at + "/shop/records") == as_ever.records);
    CHECK(fs::exists(as_ever.at + "/shop/approvals"));
}
