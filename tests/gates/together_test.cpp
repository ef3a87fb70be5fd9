// Two programs on one shop at the same time: nobody's work is lost, no file is half, and who has to stand back is told.
#include "gates/program.h"
#include "gates/small_shop.h"
#include "gates/trace.h"

#include "digest/digest.h"

#include <atomic>
#include <doctest/doctest.h>
#include <future>
#include <thread>
#include <utility>

namespace fs = std::filesystem;
using namespace benchleaf;
using namespace benchleaf::gates;

namespace {

using Words = std::vector<std::string>;

constexpr int rounds = BENCHLEAF_TIME_SLACK > 5 ? 2 : 12;

std::pair<Ran, Ran> at_once(const Words& one, const Words& other, const std::string& folder) {
    auto first = std::async(std::launch::async, [&] { return run(one, {.folder = folder}); });
    const Ran second = run(other, {.folder = folder});
    return {first.get(), second};
}

std::string fresh(const std::string& name) {
    const std::string at = scratch("together-" + name);
    small_shop(at + "/shop");
    return at;
}

// Done, or told plainly that somebody else is at it.
void done_or_told(const Ran& ran) {
    if (ran.status == 0) return;
    CHECK_MESSAGE(ran.status == 3, ran.err);
    CHECK_MESSAGE((has(ran.err, "somebody else") || has(ran.err, "has changed since it was read")), ran.err);
}

std::string job_two() {
    return "job: cart-2\nvehicle: cart\nidentity: { frame: CT 0417 }\ndate: 2026-11-25\ndo: [plate, plate]\n";
}

} // namespace

TEST_CASE("record and record of one job: one record, and it is one of the two") {
    int both_at_it = 0;
    for (int i = 0; i < rounds; ++i) {
        const std::string at = fresh("record");
        write(at + "/one.yaml", answers());
        write(at + "/other.yaml", answers({{"card-1/step-3/note/1", "scratched"}}));
        const auto both = at_once({"--shop", "shop", "record", "cart-1", "--from", "one.yaml"},
                                  {"--shop", "shop", "record", "cart-1", "--from", "other.yaml"}, at);
        const Ran& one = both.first;
        const Ran& other = both.second;
        CAPTURE(one.err);
        CAPTURE(other.err);
        REQUIRE((one.status == 0) != (other.status == 0));
        const Ran& lost = one.status == 0 ? other : one;
        const bool told =
            has(lost.err, "somebody else") || has(lost.err, "has its record") || has(lost.err, "is there already");
        CHECK(told);
        both_at_it += has(lost.err, "somebody else") ? 1 : 0;
        const auto records = below(at + "/shop/records");
        REQUIRE(records.size() == 1);
        const std::string& record = records.begin()->second;
        CHECK(sealed(record));
        CHECK(has(record, other.status == 0 ? "scratched" : "clean"));
    }
    MESSAGE(both_at_it << " of " << rounds << " times they met");
}

TEST_CASE("record and record of two jobs of one vehicle: none is lost, and each knows of the other or says so") {
    for (int i = 0; i < rounds; ++i) {
        const std::string at = fresh("two-jobs");
        write(at + "/shop/jobs/cart-2.yaml", job_two());
        std::string second = answers();
        second.replace(second.find("cart-1"), 6, "cart-2");
        write(at + "/one.yaml", answers());
        write(at + "/two.yaml", second);
        const Words one = {"--shop", "shop", "record", "cart-1", "--from", "one.yaml"};
        const Words two = {"--shop", "shop", "record", "cart-2", "--from", "two.yaml"};
        const auto both = at_once(one, two, at);
        const Ran& first = both.first;
        const Ran& other = both.second;
        done_or_told(first);
        done_or_told(other);
        CHECK((first.status == 0 || other.status == 0));
        if (first.status != 0) CHECK(run(one, {.folder = at}).status == 0);
        if (other.status != 0) CHECK(run(two, {.folder = at}).status == 0);
        CHECK(below(at + "/shop/records").size() == 2);
        CHECK(run({"--shop", "shop", "check"}, {.folder = at}).status == 0);
    }
}

TEST_CASE("print and print into one folder, with a record in between: whole cards") {
    const std::string at = fresh("print");
    REQUIRE(run({"--shop", "shop", "print", "cart-1", "--split", "--out", "clean"}, {.folder = at}).status == 0);
    const auto clean = below(at + "/clean");
    write(at + "/answers.yaml", answers());
    // A print that comes after the record carries that, too.
    REQUIRE(run({"--shop", "shop", "record", "cart-1", "--from", "answers.yaml"}, {.folder = at}).status == 0);
    REQUIRE(run({"--shop", "shop", "print", "cart-1", "--split", "--out", "later"}, {.folder = at}).status == 0);
    const auto later = below(at + "/later");
    const Words print = {"--shop", "shop", "print", "cart-1", "--split", "--out", "cards"};
    for (int i = 0; i < rounds; ++i) {
        fs::remove_all(at + "/cards");
        fs::remove_all(at + "/shop/records");
        if (i % 2 == 0) {
            const auto both = at_once(print, print, at);
            const Ran& one = both.first;
            const Ran& other = both.second;
            CHECK_MESSAGE(one.status == 0, one.err);
            CHECK_MESSAGE(other.status == 0, other.err);
        } else { // which does not change what stands on the card
            const auto both = at_once(print, {"--shop", "shop", "record", "cart-1", "--from", "answers.yaml"}, at);
            const Ran& one = both.first;
            const Ran& other = both.second;
            CHECK_MESSAGE(one.status == 0, one.err);
            CHECK_MESSAGE(other.status == 0, other.err);
        }
        const auto made = below(at + "/cards");
        CHECK((made == clean || (i % 2 == 1 && made == later)));
    }
}

TEST_CASE("adopt and adopt; and whoever reads meanwhile sees all of it or nothing") {
    const std::string at = fresh("adopt");
    REQUIRE(run({"--shop", "shop", "bundle", "plate", "--out", "b.yaml"}, {.folder = at}).status == 0);
    spoil_in(at + "/shop/catalogue/frame.yaml", "25 N·m", "22 N·m");
    spoil_in(at + "/shop/work/plate.yaml", "revision: 1", "revision: 4");
    fs::remove_all(at + "/shop/jobs");
    const Words states = {"--shop", "shop", "approve"}; // lists the digest of each procedure: of all that it says
    const std::string before = run(states, {.folder = at}).out;
    fs::rename(at + "/shop", at + "/kept");
    fs::copy(at + "/kept", at + "/shop", fs::copy_options::recursive);
    const Words adopt = {"--shop", "shop", "adopt", "b.yaml", "--all-theirs"};
    REQUIRE(run(adopt, {.folder = at}).status == 0);
    const auto clean = below(at + "/shop");
    const std::string after = run(states, {.folder = at}).out;
    REQUIRE(before != after);
    int saw_old = 0, saw_new = 0;
    for (int i = 0; i < rounds; ++i) {
        fs::remove_all(at + "/shop");
        fs::copy(at + "/kept", at + "/shop", fs::copy_options::recursive);
        std::atomic<bool> done = false;
        std::thread reader([&] {
            while (!done) {
                const Ran ran = run(states, {.folder = at});
                CHECK_MESSAGE(ran.status == 0, ran.err);
                CHECK((ran.out == before || ran.out == after));
                ++(ran.out == before ? saw_old : saw_new);
            }
        });
        const auto both = at_once(adopt, adopt, at);
        const Ran& one = both.first;
        const Ran& other = both.second;
        done = true;
        reader.join();
        done_or_told(one);
        done_or_told(other);
        CHECK((one.status == 0 || other.status == 0));
        CHECK(below(at + "/shop") == clean);
    }
    MESSAGE("read before it " << saw_old << " times, and after it " << saw_new << " times");
}

TEST_CASE("approve and approve by two people; check --fix --yes twice") {
    for (int i = 0; i < rounds; ++i) {
        const std::string at = fresh("approve");
        const auto both = at_once({"--shop", "shop", "approve", "plate", "--by", "AB"},
                                  {"--shop", "shop", "approve", "plate", "--by", "CD"}, at);
        const Ran& one = both.first;
        const Ran& other = both.second;
        CHECK_MESSAGE(one.status == 0, one.err);
        CHECK_MESSAGE(other.status == 0, other.err);
        CHECK(below(at + "/shop/approvals").size() == 2);
        CHECK(run({"--shop", "shop", "check"}, {.folder = at}).status == 0);

        spoil_in(at + "/shop/shop.yaml", "signs:", "sings:");
        spoil_in(at + "/shop/work/plate.yaml", "revision:", "revison:");
        const Words fix = {"--shop", "shop", "check", "--fix", "--yes"};
        const auto mended = at_once(fix, fix, at);
        const Ran& first = mended.first;
        const Ran& second = mended.second;
        done_or_told(first);
        done_or_told(second);
        CHECK(has(read(at + "/shop/shop.yaml"), "signs:"));
        CHECK(has(read(at + "/shop/work/plate.yaml"), "revision:"));
        for (const auto& each : below(at + "/shop")) CHECK(!has(each.first, ".landing"));
    }
}

TEST_CASE("who edits a file while it is being mended keeps what he wrote") {
    const std::string at = fresh("edited");
    spoil_in(at + "/shop/work/plate.yaml", "revision:", "revison:");
    // The program is stopped when it is about to look whether the file is as it was read, and somebody saves it.
    const std::string path = fs::canonical(at).string() + "/shop/work/plate.yaml";
    const std::string mine = read(path) + "  - record: What I saw\n";
    const WatchedHow how{.folder = at};
    const Words fix = {"--shop", "shop", "check", "--fix", "--yes"};
    int opened = 0;
    const Watched watched = watch(fix, how, {}, [&](const Called& call) {
        if (call.path == path && call.sort == Sort::open_to_read && ++opened == 2) write(path, mine);
    });
    CHECK(opened == 2);
    CHECK(watched.ran.status == 3);
    CHECK(has(watched.ran.err, "work/plate.yaml has changed since it was read; nothing was written"));
    CHECK(read(path) == mine);
}

TEST_CASE("what a killed program left is not put over what somebody has changed since") {
    const std::string at = fresh("since");
    spoil_in(at + "/shop/shop.yaml", "signs:", "sings:");
    spoil_in(at + "/shop/work/plate.yaml", "revision:", "revison:");
    const WatchedHow how{.folder = at};
    const Words fix = {"--shop", "shop", "check", "--fix", "--yes"};
    fs::copy(at + "/shop", at + "/kept", fs::copy_options::recursive);
    const Watched clean = watch(fix, how);
    REQUIRE(clean.ran.status == 0);
    std::vector<std::size_t> renames;
    for (std::size_t i = 0; i < clean.calls.size(); ++i)
        if (clean.calls[i].sort == Sort::rename) renames.push_back(i);
    REQUIRE(renames.size() == 3); // the list, and two files
    const auto kill_at = [&](std::size_t call) {
        fs::remove_all(at + "/shop");
        fs::copy(at + "/kept", at + "/shop", fs::copy_options::recursive);
        CHECK(watch(fix, how, {Fault::What::is_last, call, 0, false}).ran.status == 128 + SIGKILL);
    };
    kill_at(renames[2]);
    REQUIRE(fs::exists(at + "/shop/.landing"));
    // Moved, and somewhere else it is finished by whoever comes.
    fs::rename(at + "/shop", at + "/moved");
    CHECK(run({"--shop", "moved", "check"}, {.folder = at}).status == 0);
    CHECK(!fs::exists(at + "/moved/.landing"));
    CHECK(has(read(at + "/moved/shop.yaml"), "signs:"));
    CHECK(has(read(at + "/moved/work/plate.yaml"), "revision:"));
    // Changed by hand: nobody reads a half of it, and nothing of it is lost.
    kill_at(renames[2]);
    const bool shop_waits = has(read(at + "/shop/shop.yaml"), "sings:");
    const std::string waits = at + (shop_waits ? "/shop/shop.yaml" : "/shop/work/plate.yaml");
    write(waits, read(waits) + "# mine\n");
    const std::string mine = read(waits);
    for (const Words& words : std::vector<Words>{{"check"}, {"print", "cart-1"}, {"approve"}}) {
        Words all = {"--shop", "shop"};
        all.insert(all.end(), words.begin(), words.end());
        const Ran ran = run(all, {.folder = at});
        CHECK(ran.status == 3);
        CHECK_MESSAGE(has(ran.err, "it was changed since"), ran.err);
        CHECK(read(waits) == mine);
    }
    // As it says: one of them is taken, the other one goes.
    for (const auto& entry : fs::recursive_directory_iterator(at + "/shop"))
        if (has(entry.path().filename(), ".landing-") && !has(entry.path().filename(), ".kept")) {
            fs::remove(entry.path());
            break;
        }
    CHECK(run({"--shop", "shop", "check"}, {.folder = at}).status != 3);
    CHECK(read(waits) == mine);
    for (const auto& each : below(at + "/shop")) CHECK(!has(each.first, ".landing"));
    // A list that is none.
    kill_at(renames[2]);
    write(at + "/shop/.landing", "something else");
    const Ran odd = run({"--shop", "shop", "check"}, {.folder = at});
    CHECK(odd.status == 3);
    CHECK(has(odd.err, ".landing is no list of files"));
}

TEST_CASE("a list that came with a shop puts nothing outside it, nor among git's own files") {
    const std::string at = fresh("list-of-another");
    const std::string bytes = "not ours\n";
    const std::string digest = digest::sha256_hex(bytes);
    fs::create_directories(at + "/outside");
    fs::create_directories(at + "/shop/.git/hooks");
    fs::create_directory_symlink(at + "/outside", at + "/shop/led-out");
    for (const std::string& place :
         {at + "/outside/a", std::string("../outside/a"), std::string(".git/hooks/pre-commit"),
          std::string("led-out/a"), std::string("work/../../outside/a")}) {
        const std::string waits = place + ".landing-abcdef";
        const std::string file = fs::path(place).is_absolute() ? waits : at + "/shop/" + waits;
        write(file, bytes);
        std::string list = "benchleaf puts these files in their places, and goes on if it was stopped";
        for (const std::string& field : {place, waits, std::string(), digest}) list += '\0' + field;
        write(at + "/shop/.landing", list);
        const Ran ran = run({"--shop", "shop", "check"}, {.folder = at});
        CAPTURE(place);
        CHECK(ran.status == 3);
        CHECK_MESSAGE(has(ran.err, "no other program puts in its place"), ran.err);
        CHECK(fs::exists(file));
        CHECK(!fs::exists(fs::path(file).parent_path() / fs::path(place).filename()));
    }
}
