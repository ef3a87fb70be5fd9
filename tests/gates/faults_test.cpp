// Every act that writes, under every failure: each call to the file system is made to fail in turn, to write half, to be interrupted, or to be the last that the
// program makes; and then the same act is done once more with nothing failing. docs/faults.md says what is held.
//
// BENCHLEAF_FAULTS: how many of an act's failures are tried, spread over all of them; `all`, and a table of the outcomes is printed.
// BENCHLEAF_KILLS: how often each act is killed at a random time.
#include "gates/program.h"
#include "gates/small_shop.h"
#include "gates/talk.h"
#include "gates/trace.h"

#include "digest/digest.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <functional>
#include <map>
#include <random>
#include <regex>
#include <set>

namespace fs = std::filesystem;
using namespace benchleaf;
using namespace benchleaf::gates;

namespace {

const std::string source_dir = BENCHLEAF_SOURCE_DIR;

using Files = std::map<std::string, std::string>;

// Every file below a folder with its mode, but the locks, which say nothing, and `result`, which is standard output.
Files all_files(const std::string& folder) {
    Files files;
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
        const std::string path = entry.path().lexically_relative(folder).string();
        if (!entry.is_regular_file() || path == "result" || entry.path().filename() == ".lock") continue;
        files[path] = fmt::format("{:o} ", static_cast<unsigned>(entry.status().permissions())) + read(entry.path());
    }
    return files;
}

// What only this program calls so, and its next run clears away or goes on with.
bool is_helper(const std::string& path) {
    static const std::regex form(R"((.*\.(writing|landing)-[A-Za-z0-9]{6}(\.kept)?)|((.*/)?\.landing)|(.*\.draft))");
    return std::regex_match(path, form);
}

enum class Promise { each_file, all_on_failure, all_whatever_happens };

struct Act {
    std::string name;
    std::function<void()> prepare; // in the working folder
    std::vector<std::string> arguments;
    Promise promise = Promise::each_file;
    std::string in = "/dev/null";
    std::string out = ""; // `result`: standard output is a file, too
    // Once more, with nothing failing; `done`: it had been done already.
    std::function<Ran(bool done)> again = nullptr;
};

// The folder that all acts are done in, with a shop in it.
std::string at;

Ran here(const std::vector<std::string>& arguments) {
    return run(arguments, {.folder = at});
}

void put_shop() {
    small_shop(at + "/shop");
    write(at + "/shop/work/look.yaml",
          "procedure: look\ntitle: Look\nrevision: 1\nuses: frame\nsteps:\n  - record: What it looks like\n");
}

void spoil(const std::string& path, const std::string& from, const std::string& to) {
    spoil_in(at + "/" + path, from, to);
}

void put_record() {
    put_shop();
    write(at + "/answers.yaml", answers());
    REQUIRE(here({"--shop", "shop", "record", "cart-1", "--from", "answers.yaml"}).status == 0);
}

// A record that is there already is a record; its page is made by itself.
std::function<Ran(bool)> record_again(std::vector<std::string> arguments, const std::string& record) {
    return [arguments = std::move(arguments), record](bool) {
        const bool there = fs::exists(at + "/shop/records/ct-0417/" + record + ".yaml");
        const Ran ran = here(arguments);
        if (!there) return ran;
        CHECK(ran.status == 1);
        return here({"--shop", "shop", "record", "cart-1", "--page"});
    };
}

std::vector<Act> acts() {
    std::vector<Act> all;
    all.push_back({"print", [] { put_shop(); }, {"--shop", "shop", "print", "cart-1"}});
    all.push_back({"print over an older card",
                   [] {
                       put_shop();
                       write(at + "/out/cart-1.pdf", "an older card");
                   },
                   {"--shop", "shop", "print", "cart-1"}});
    all.push_back({"print --split",
                   [] {
                       put_shop();
                       write(at + "/cards/cart-1-1-plate.pdf", "an older card");
                       write(at + "/cards/cart-1-2-plate.pdf", "an older card");
                   },
                   {"--shop", "shop", "print", "cart-1", "--split", "--out", "cards"},
                   Promise::all_on_failure});
    all.push_back({"print --as json",
                   [] { put_shop(); },
                   {"--shop", "shop", "print", "cart-1", "--as", "json"},
                   Promise::each_file,
                   "/dev/null",
                   "result"});
    all.push_back(
        {"check", [] { put_shop(); }, {"--shop", "shop", "check"}, Promise::each_file, "/dev/null", "result"});
    all.push_back({"check --fix --yes",
                   [] {
                       put_shop();
                       spoil("shop/shop.yaml", "signs:", "sings:");
                       spoil("shop/work/plate.yaml", "revision:", "revison:");
                       spoil("shop/work/look.yaml", "revision:", "revison:");
                   },
                   {"--shop", "shop", "check", "--fix", "--yes"},
                   Promise::all_whatever_happens});
    const Act typed = {
        "record, typed",
        [] {
            put_shop();
            std::string lines;
            const auto good = somebody(on_the_cart());
            const Talk talked = talk({"--shop", "shop", "record", "cart-1"},
                                     [&](const std::string& asked) {
                                         const auto answer = good(asked);
                                         lines += *answer + "\n";
                                         return answer;
                                     },
                                     {.folder = at});
            REQUIRE_MESSAGE(talked.ran.status == 0, talked.ran.err);
            fs::remove_all(at);
            put_shop();
            write(at + "/typed", lines);
        },
        {"--shop", "shop", "record", "cart-1"},
        Promise::each_file,
        "typed",
        "",
        [](bool) {
            const bool there = fs::exists(at + "/shop/records/ct-0417/cart-1.yaml");
            const Talk talked = talk({"--shop", "shop", "record", "cart-1"}, somebody(on_the_cart()), {.folder = at});
            if (!there) return talked.ran;
            CHECK(talked.ran.status == 1);
            return here({"--shop", "shop", "record", "cart-1", "--page"});
        }};
    all.push_back(typed);
    Act gone_on_with = typed;
    gone_on_with.name = "record, gone on with";
    gone_on_with.prepare = [typed] {
        typed.prepare();
        write(at + "/shop/records/ct-0417/cart-1.draft",
              "# begun\nanswers: cart-1\nboxes:\n  card-1/step-1/ti"); // cut off
    };
    all.push_back(gone_on_with);
    const std::vector<std::string> from_file = {"--shop", "shop", "record", "cart-1", "--from", "answers.yaml"};
    all.push_back({"record --from answers",
                   [] {
                       put_shop();
                       write(at + "/answers.yaml", answers());
                   },
                   from_file, Promise::each_file, "/dev/null", "", record_again(from_file, "cart-1")});
    const std::vector<std::string> from_form = {"--shop", "shop", "record", "cart-1", "--from", "filled.pdf"};
    all.push_back({"record --from a form",
                   [] {
                       put_shop();
                       REQUIRE(here({"--shop", "shop", "print", "cart-1", "--out", "."}).status == 0);
                       std::string texts;
                       std::regex line(R"RE(  (\S+): "(.*)")RE");
                       const std::string boxes = answers();
                       for (std::sregex_iterator each(boxes.begin(), boxes.end(), line), end; each != end; ++each)
                           texts += (*each)[1].str() + "\t" + ((*each)[2] == "x" ? "Yes" : (*each)[2].str()) + "\n";
                       write(at + "/texts", texts);
                       const Ran filled =
                           run("/usr/bin/python3", {source_dir + "/tests/outside/form.py", "fill", at + "/cart-1.pdf",
                                                    at + "/filled.pdf", at + "/texts"});
                       REQUIRE_MESSAGE(filled.status == 0, filled.err);
                   },
                   from_form, Promise::each_file, "/dev/null", "", record_again(from_form, "cart-1")});
    const std::vector<std::string> correct = {"--shop",   "shop",    "record", "cart-1",    "--correct",
                                              "--reason", "misread", "--from", "other.yaml"};
    all.push_back({"record --correct",
                   [] {
                       put_record();
                       write(at + "/other.yaml", answers({{"card-1/step-3/note/1", "scratched"}}));
                   },
                   correct, Promise::each_file, "/dev/null", "", record_again(correct, "cart-1-2")});
    all.push_back(
        {"record --page", [] { put_record(); }, {"--shop", "shop", "record", "cart-1", "--page", "--out", "pages"}});
    all.push_back({"history --as pdf", [] { put_record(); }, {"--shop", "shop", "history", "CT 0417", "--as", "pdf"}});
    all.push_back({"new shop", [] { write(at + "/note", ""); }, {"new", "shop", "other"}});
    all.push_back({"new procedure", [] { put_shop(); }, {"--shop", "shop", "new", "procedure", "brakes/pads"}});
    all.push_back({"new job", [] { put_shop(); }, {"--shop", "shop", "new", "job", "cart-2"}});
    all.push_back({"approve --all",
                   [] { put_shop(); },
                   {"--shop", "shop", "approve", "--all", "--by", "AB", "--note", "looked at"},
                   Promise::all_whatever_happens});
    all.push_back(
        {"adopt",
         [] {
             put_shop();
             REQUIRE(here({"--shop", "shop", "bundle", "plate", "look", "--out", "plate.bundle.yaml"}).status == 0);
             spoil("shop/catalogue/frame.yaml", "25 N·m", "22 N·m");
             spoil("shop/work/plate.yaml", "revision: 1", "revision: 4");
             for (const char* each : {"work/look.yaml", "vehicles", "jobs"}) fs::remove_all(at + "/shop/" + each);
         },
         {"--shop", "shop", "adopt", "plate.bundle.yaml", "--all-theirs"},
         Promise::all_whatever_happens});
    all.push_back({"bundle",
                   [] {
                       put_shop();
                       write(at + "/plate.bundle.yaml", "bundle: 1\n");
                   },
                   {"--shop", "shop", "bundle", "plate", "--out", "plate.bundle.yaml"}});
    all.push_back({"schema --write",
                   [] {
                       put_shop();
                       write(at + "/shop/.schemas/job.json", "mine");
                   },
                   {"--shop", "shop", "schema", "--write"},
                   Promise::all_on_failure});
    all.push_back({"bindings",
                   [] {
                       put_shop();
                       for (const auto& each : fs::directory_iterator(at + "/shop/catalogue"))
                           write(at + "/lists/" + each.path().stem().string() + ".txt", "mine");
                   },
                   {"--shop", "shop", "bindings", "--out", "lists"},
                   Promise::all_on_failure});
    return all;
}

struct Clean {
    Files before, after;
    Watched watched;
    std::string result;
};

void copy_to_work(const std::string& kept) {
    fs::remove_all(at);
    fs::copy(kept, at, fs::copy_options::recursive);
}

WatchedHow how_of(const Act& act) {
    return {.folder = at, .in = act.in, .out = act.out};
}

// What is tried on one call.
std::vector<Fault> faults_of(const Called& call, std::size_t i) {
    using What = Fault::What;
    std::vector<int> errors = {EIO};
    switch (call.sort) {
    case Sort::open_to_read:
        errors = {EIO, EACCES};
        break;
    case Sort::open_to_write:
    case Sort::rename:
    case Sort::mkdir:
        errors = {EIO, EACCES, ENOSPC};
        break;
    case Sort::link:
        errors = {EIO, EACCES, ENOSPC, EPERM};
        break;
    case Sort::write:
    case Sort::fsync:
    case Sort::close:
        errors = {EIO, ENOSPC};
        break;
    case Sort::unlink:
        errors = {EIO, EACCES};
        break;
    case Sort::flock:
        errors = {EIO, ENOLCK};
        break;
    default:
        break;
    }
    // Who lists a folder by the library is not started anew; this system interrupts nobody there.
    if (!(call.sort == Sort::open_to_read && call.folder)) errors.push_back(EINTR);
    std::vector<Fault> faults;
    for (const int error : errors) faults.push_back({What::fails, i, error, false});
    if (watching::is_for_writing(call))
        for (const int error : {EIO, ENOSPC}) faults.push_back({What::fails, i, error, true});
    if (call.sort == Sort::write || call.sort == Sort::read) faults.push_back({What::writes_half, i, 0, false});
    if (call.sort != Sort::read && call.sort != Sort::open_to_read) faults.push_back({What::is_last, i, 0, false});
    return faults;
}

// Whether the act may say nothing of it.
bool may_pass(const Act& act, const Watched& watched, const Fault& fault) {
    if (fault.what != Fault::What::fails || fault.error == EINTR) return true;
    const Called& call = watched.calls[fault.at];
    switch (call.sort) {
    case Sort::unlink: // a leftover
    case Sort::rmdir:
    case Sort::flock: // nobody is kept out there
        return true;
    case Sort::close:
        return !call.to_write || call.path.ends_with(".lock") ||
               call.path.ends_with(".draft"); // the last is on the disk
    case Sort::open_to_read:
    case Sort::read:
        // A print reads what the job needs; where anything is in the way, it reads the whole shop, and says what is in the way of that.
        if (std::find(act.arguments.begin(), act.arguments.end(), "print") != act.arguments.end()) return true;
        return call.folder || call.path.find("/.schemas/") != std::string::npos ||
               call.path.find("/lists/") != std::string::npos;
    case Sort::link:
        return fault.error == EPERM; // a file system without them
    case Sort::fsync:                // that something is gone need not last: it is cleared away, or finished, once more
        for (std::size_t i = fault.at; i-- > 0;)
            if (watched.calls[i].sort != Sort::open_to_read)
                return watched.calls[i].sort == Sort::unlink &&
                       (watched.calls[i].path.ends_with("/.landing") || watched.calls[i].path.ends_with(".draft"));
        return false;
    default:
        return false;
    }
}

bool names_it(const std::string& said, const std::string& path) {
    static const std::regex mark(R"(\.(writing|landing)-[A-Za-z0-9]{6}(\.kept)?$)");
    const fs::path file = std::regex_replace(path, mark, "");
    return has(said, file.filename()) || has(said, "standard output") || has(said, "standard input") ||
           has(said, file.parent_path().filename());
}

std::string called(const Act& act, const Watched& watched, const Fault& fault) {
    const Called& call = watched.calls[std::min(fault.at, watched.calls.size() - 1)];
    const std::string how = fault.what == Fault::What::is_last       ? "killed there"
                            : fault.what == Fault::What::writes_half ? "half"
                                                                     : std::strerror(fault.error);
    return fmt::format("{}: call {}, {} {}: {}{}", act.name, fault.at, word(call.sort), call.path, how,
                       fault.from_then_on ? ", and so on" : "");
}

// Of the files that the act changes: whether all are old, all new, or some of each.
enum class State { old, done, half };
State state_of(const Files& now, const Clean& clean) {
    std::size_t is_new = 0, is_old = 0;
    for (const auto& [path, text] : clean.after) {
        const auto before = clean.before.find(path);
        if (before != clean.before.end() && before->second == text) continue;
        const auto found = now.find(path);
        if (found != now.end() && found->second == text)
            ++is_new;
        else
            ++is_old;
    }
    return is_old == 0 ? State::done : is_new == 0 ? State::old : State::half;
}

void each_file_is_whole(const Files& now, const Clean& clean) {
    for (const auto& each : now) {
        const auto before = clean.before.find(each.first);
        const auto after = clean.after.find(each.first);
        const bool old = before != clean.before.end() && before->second == each.second;
        const bool fresh = after != clean.after.end() && after->second == each.second;
        CHECK_MESSAGE((old || fresh || is_helper(each.first)), each.first);
    }
    for (const auto& each : clean.before)
        if (clean.after.contains(each.first)) CHECK_MESSAGE(now.contains(each.first), each.first);
}

// What was left is cleared up, and the act done, by doing it once more with nothing failing.
void comes_to_its_end(const Act& act, const Clean& clean, State state) {
    if (act.promise == Promise::all_whatever_happens) {
        // To whoever reads it now it is all or nothing.
        const Ran reads = here({"--shop", "shop", "check"});
        CHECK_MESSAGE(reads.status != 3, reads.err);
        state = state_of(all_files(at), clean);
        CHECK(state != State::half);
    }
    const bool done = state == State::done;
    const Ran again = act.again ? act.again(done) : here(act.arguments);
    CHECK_MESSAGE((again.status == 0 || (done && again.status < 3)), again.err);
    const Files end = all_files(at);
    for (const auto& each : clean.after) {
        const auto found = end.find(each.first);
        CHECK_MESSAGE((found != end.end() && found->second == each.second), each.first);
    }
    for (const auto& each : end) CHECK_MESSAGE(clean.after.contains(each.first), each.first);
}

// The outcomes of one act by the sort of call.
struct Outcomes {
    std::size_t told = 0, done = 0, killed = 0, interrupted = 0;
};
using Table = std::map<std::string, std::map<std::string, Outcomes>>;

void try_one(const Act& act, const Clean& clean, const std::string& kept, const Fault& fault, Table& table) {
    copy_to_work(kept);
    const Watched watched = watch(act.arguments, how_of(act), fault);
    if (!watched.struck) return; // the calls came in another order
    const std::string name = called(act, watched, fault);
    CAPTURE(name);
    const Ran& ran = watched.ran;
    CAPTURE(ran.err);
    const Files now = all_files(at);
    each_file_is_whole(now, clean);
    Outcomes& outcomes = table[act.name][word(watched.calls[fault.at].sort)];
    const bool harmless = fault.what == Fault::What::writes_half || fault.error == EINTR;
    State state = state_of(now, clean);
    if (fault.what == Fault::What::is_last) {
        ++outcomes.killed;
        CHECK(ran.status == 128 + SIGKILL);
    } else if (ran.status == 0) {
        ++(harmless ? outcomes.interrupted : outcomes.done);
        CHECK(state == State::done);
        CHECK(ran.out == clean.watched.ran.out);
        if (!act.out.empty()) CHECK(read(at + "/" + act.out) == clean.result);
        CHECK((harmless || fault.from_then_on || may_pass(act, watched, fault)));
    } else {
        ++outcomes.told;
        CHECK(!harmless);
        CHECK(ran.status == 3);
        CHECK(has(ran.err, "benchleaf: "));
        CHECK(has(ran.err, std::strerror(fault.error)));
        if (!fault.from_then_on) CHECK(names_it(ran.err, watched.calls[fault.at].path));
        if (act.promise != Promise::each_file && !fault.from_then_on) CHECK(state != State::half);
    }
    comes_to_its_end(act, clean, state);
}

// As it is when nothing fails; what it begins from is kept.
Clean do_it_once(const Act& act, const std::string& kept) {
    fs::remove_all(at);
    fs::remove_all(kept);
    act.prepare();
    fs::copy(at, kept, fs::copy_options::recursive);
    Clean clean;
    clean.before = all_files(at);
    clean.watched = watch(act.arguments, how_of(act));
    REQUIRE_MESSAGE(clean.watched.ran.status == 0, clean.watched.ran.err);
    clean.after = all_files(at);
    if (!act.out.empty()) clean.result = read(at + "/" + act.out);
    for (const auto& each : clean.after) CHECK_MESSAGE(!is_helper(each.first), each.first);
    REQUIRE((clean.after != clean.before || !act.out.empty()));
    return clean;
}

} // namespace

TEST_CASE("whatever call fails: old or new and nothing between, told, and done by the next one") {
    const char* given = std::getenv("BENCHLEAF_FAULTS");
    const bool all = given != nullptr && std::string(given) == "all";
    const std::size_t share = given != nullptr && !all   ? std::strtoul(given, nullptr, 10)
                              : BENCHLEAF_TIME_SLACK > 5 ? 3
                                                         : 15;
    const char* only = std::getenv("BENCHLEAF_ACT");
    Table table;
    std::size_t tried = 0;
    at = scratch("faults") + "/work";
    const std::string kept = fs::path(at).parent_path().string() + "/kept";
    for (const Act& act : acts()) {
        if (only != nullptr && act.name != only) continue;
        CAPTURE(act.name);
        const Clean clean = do_it_once(act, kept);
        std::vector<Fault> faults;
        for (std::size_t i = 0; i < clean.watched.calls.size(); ++i)
            for (const Fault& each : faults_of(clean.watched.calls[i], i)) faults.push_back(each);
        if (!all) { // a spread of them, and the same ones each time
            std::mt19937 random(20261127);
            std::shuffle(faults.begin(), faults.end(), random);
            if (faults.size() > share) faults.resize(share);
        }
        for (const Fault& fault : faults) {
            try_one(act, clean, kept, fault, table);
            ++tried;
        }
        if (all) fmt::print("{}: {} calls, {} runs\n", act.name, clean.watched.calls.size(), faults.size());
    }
    MESSAGE(tried << " failures");
    CHECK((tried > 50 || only != nullptr));
    if (!all) return;
    std::map<std::string, Outcomes> by_sort;
    fmt::print(
        "\n| act | call | told | done all the same | interrupted or half, done | killed there |\n| --- | --- | --- | "
        "--- | --- | --- |\n");
    for (const auto& [act, sorts] : table)
        for (const auto& [sort, each] : sorts)
            fmt::print("| {} | {} | {} | {} | {} | {} |\n", act, sort, each.told, each.done, each.interrupted,
                       each.killed);
}

// As a lost light does it, whatever the program is at. (The calls that it makes were each the last one above; a typed record is killed in record_test.cpp.)
TEST_CASE("killed at any time") {
    const char* given = std::getenv("BENCHLEAF_KILLS");
    const int kills = given != nullptr ? std::atoi(given) : BENCHLEAF_TIME_SLACK > 5 ? 1 : 5;
    at = scratch("killed") + "/work";
    const std::string kept = fs::path(at).parent_path().string() + "/kept";
    std::mt19937 random(20261127);
    int killed = 0, half_way = 0, too_late = 0;
    for (const Act& act : acts()) {
        if (act.in != "/dev/null" || !act.out.empty()) continue;
        CAPTURE(act.name);
        const Clean clean = do_it_once(act, kept);
        copy_to_work(kept);
        double lasts = here(act.arguments).seconds;
        for (int i = 0; i < kills;) {
            copy_to_work(kept);
            std::uniform_real_distribution<double> when(0, lasts);
            const Ran ran = run(act.arguments, {.folder = at, .kill_after = when(random)});
            if (ran.status != 128 + SIGKILL) {
                CHECK_MESSAGE(ran.status == 0, ran.err);
                lasts *= 0.95;
                ++too_late;
                continue;
            }
            lasts *= 1.01;
            ++killed;
            ++i;
            const Files now = all_files(at);
            half_way += now != clean.before && state_of(now, clean) != State::done ? 1 : 0;
            each_file_is_whole(now, clean);
            comes_to_its_end(act, clean, state_of(now, clean));
        }
    }
    MESSAGE("killed " << killed << " times, " << half_way << " of them half-way; " << too_late << " times too late");
    CHECK(killed > 0);
}
