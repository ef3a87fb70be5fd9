// Handing over, with the real program: what one shop bundles another adopts, as far as it agrees, and it means there what it meant. And what is
// no good is refused by its name, with nothing written, in the shop or anywhere else.
#include "gates/program.h"

#include "base/text.h"
#include "bundle/bundle.h"
#include "digest/digest.h"

#include <algorithm>
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <functional>
#include <map>
#include <pty.h>
#include <random>
#include <sched.h>
#include <sstream>
#include <sys/file.h>
#include <sys/mount.h>
#include <sys/resource.h>

namespace fs = std::filesystem;
using namespace benchleaf;
using namespace benchleaf::gates;

namespace {

const std::string demo = std::string(BENCHLEAF_SOURCE_DIR) + "/procedures";

bool says(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

// Everything below a folder, folders and links too, hidden or not.
std::map<std::string, std::string> tree_of(const std::string& folder) {
    std::map<std::string, std::string> all;
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
        const std::string path = entry.path().lexically_relative(folder).string();
        all[path] = entry.is_symlink()        ? "-> " + fs::read_symlink(entry.path()).string()
                    : entry.is_regular_file() ? read(entry.path().string())
                                              : "folder";
    }
    return all;
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    CAPTURE(from);
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

void change(const std::string& path, const std::string& from, const std::string& to) {
    write(path, replaced(read(path), from, to));
}

// The 16 figures behind a procedure's name in what `bundle` and `adopt` print.
std::string digest_in(const std::string& text, const std::string& procedure) {
    const std::size_t at = text.rfind(procedure + "  ");
    REQUIRE(at != std::string::npos);
    return text.substr(at + procedure.size() + 2, 19);
}

// -- A small shop that hands over ---------------------------------------------------------------------------------------------
const std::string frame = R"(# The plate and what holds it.
catalogue: frame
uses: [fixings]

parts:
  plate:
    name: plate
    held-by: [bolt]      # off only once it is out
  # Seen from below.
  pad: { name: pad }

fasteners:
  bolt:
    name: plate bolt
    thread: M8x1.25
    class: "8.8"
    critical: true
    threadlock: locker

torques:
  bolt: { value: 25 N·m ±10 %, threads: thread-locked, source: invented }

limits:
  lining: { name: lining, of: pad, new: 9.0 mm, minimum: 2.0 mm, reads-to: 0.1 mm, uncertainty: 0.1 mm, source: invented }
)";
const std::string fixings = R"(catalogue: fixings
consumables:
  locker: { name: thread-locker, sort: thread-locker, sets-in: 20 min, full-in: 24 h, unit: drop, cautions: [skin] }
  spirit: { name: spirit, sort: solvent, flammable: true, clears-in: 10 min, unit: mL }
cautions:
  skin: { level: caution, hazard: Thread-locker irritates the skin., avoid: Wear gloves. }
)";
const std::string plate = R"(procedure: plate
title: Plate
revision: 1
uses: [frame, fixings]
fits: { load-bed: plated }
steps:
  - remove: bolt
    say: Take the {bolt} out, and keep the {bolt} at hand.
  - clean: bolt
    with: spirit
  - apply: locker
    to: bolt
    amount: 2 drops
  - fit: bolt
  - torque: bolt
  - measure: lining
  - decide: lining
    if-not:
      - Write on the board that the lining is due.
)";
const std::string shop_file = R"(shop: NAME
name: NAME
paper: a4
second-check: other
wrenches:
  w: { name: W, range: 5..60 N·m, accuracy: 4 %, length: 330 mm, serial: S-1, calibrated-until: 2027-03-01 }
signs: [AB, CD]
)";

void shop_called(const std::string& shop, const std::string& name) {
    write(shop + "/shop.yaml", replaced(replaced(shop_file, "NAME", name), "NAME", name));
}

void sender(const std::string& shop) {
    shop_called(shop, "senders");
    write(shop + "/catalogue/frame.yaml", frame);
    write(shop + "/catalogue/fixings.yaml", fixings);
    write(shop + "/vehicles/cart.yaml", "vehicle: cart\nname: Cart\nhas: { load-bed: plated }\n");
    write(shop + "/work/plate.yaml", plate);
}

struct Sent {
    std::string root, shop, file, digest;
};

// The sender's shop, its bundle, and an empty shop `mine`.
Sent sent(const std::string& name) {
    Sent made;
    made.root = scratch(name);
    sender(made.root + "/senders");
    made.shop = made.root + "/mine";
    made.file = made.root + "/plate.bundle.yaml";
    shop_called(made.shop, "mine");
    const Ran ran = run({"--shop", made.root + "/senders", "bundle", "plate", "--out", made.file});
    REQUIRE_MESSAGE(ran.status == 0, ran.err);
    made.digest = digest_in(ran.out, "plate");
    return made;
}

Ran adopt(const Sent& sent, std::vector<std::string> more = {}) {
    more.insert(more.begin(), {"--shop", sent.shop, "adopt", sent.file});
    return run(more);
}

void checks_clean(const std::string& shop) {
    const Ran ran = run({"--shop", shop, "check"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
}

// Every line of a card but those that say something of the shop: its name, its wrenches, and what is reckoned over these.
std::vector<std::string> card_lines(const std::string& shop) {
    const Ran ran =
        run({"--shop", shop, "print", "front-disc-service", "--vehicle", "ostrel-haul-300", "--as", "json"});
    REQUIRE_MESSAGE(ran.status == 0, ran.err);
    std::vector<std::string> lines;
    std::stringstream all(ran.out);
    for (std::string line; std::getline(all, line);)
        if (!says(line, "\"not-approved\"")) lines.push_back(line); // who took it over has to read it first
    return lines;
}

} // namespace

// -- What it is for -------------------------------------------------------------------------------------------------------------
TEST_CASE("two shops: the digests agree, and the cards differ in nothing but the shop's name and wrenches") {
    const std::string root = scratch("adopt-two-shops");
    const std::string other = root + "/other";
    const Ran bundled = run({"--shop", demo, "bundle", "front-disc-service", "--out", root + "/discs.yaml"});
    REQUIRE_MESSAGE(bundled.status == 0, bundled.err);
    const Ran started = run({"new", "shop", other});
    REQUIRE(started.status == 0);
    std::string shop = read(demo + "/shop.yaml");
    for (const auto& [from, to] : {std::pair("Fernhollow Works", "Larkfield Garage"),
                                   std::pair("wrench B", "click wrench"), std::pair("FW-0118", "LG-0002")})
        shop = replaced(shop, from, to);
    write(other + "/shop.yaml", shop);

    const Ran adopted = run({"--shop", other, "adopt", root + "/discs.yaml"});
    REQUIRE_MESSAGE(adopted.status == 0, adopted.err);
    CHECK(digest_in(adopted.out, "front-disc-service") == digest_in(bundled.out, "front-disc-service"));
    CHECK(says(adopted.out, "as it was handed over"));
    for (const char* own : {"jobs", "records", "answers", "approvals"}) CHECK(!fs::exists(other + "/" + own));

    const std::vector<std::string> here = card_lines(demo);
    const std::vector<std::string> there = card_lines(other);
    REQUIRE(here.size() == there.size());
    std::size_t differ = 0;
    for (std::size_t i = 0; i < here.size(); ++i) {
        if (here[i] == there[i]) continue;
        ++differ;
        CAPTURE(here[i]);
        CHECK((says(here[i], "\"shop\"") || says(here[i], "wrench B") || says(here[i], "\"digest\"") ||
               says(here[i], "\"code\"")));
        std::string same = here[i];
        if (says(same, "wrench B")) same = replaced(same, "wrench B", "click wrench");
        if (says(same, "FW-0118")) same = replaced(same, "FW-0118", "LG-0002");
        if (says(same, "wrench")) CHECK(same == there[i]);
    }
    CHECK(differ > 4);
    checks_clean(other);

    const Ran again = run({"--shop", other, "adopt", root + "/discs.yaml"});
    CHECK(again.status == 0);
    CHECK(says(again.err, "there is nothing to take"));
}

TEST_CASE("a printed card hands over as a bundle does, and neither its shop nor its job") {
    const std::string root = scratch("adopt-card");
    const Ran printed = run({"--shop", demo, "print", "2026-0412", "--out", root});
    REQUIRE_MESSAGE(printed.status == 0, printed.err);
    shop_called(root + "/mine", "mine");
    const std::string own = read(root + "/mine/shop.yaml");
    const Ran ran = run({"--shop", root + "/mine", "adopt", root + "/2026-0412.pdf", "front-disc-service"});
    REQUIRE_MESSAGE(ran.status == 0, ran.err);
    const Ran bundled = run({"--shop", demo, "bundle", "front-disc-service", "--out", root + "/discs.yaml"});
    CHECK(digest_in(ran.out, "front-disc-service") == digest_in(bundled.out, "front-disc-service"));
    CHECK(read(root + "/mine/shop.yaml") == own);
    CHECK(!fs::exists(root + "/mine/jobs"));
    CHECK(!fs::exists(root + "/mine/wheels")); // nobody asked for these procedures
    const Ran checked = run({"--shop", root + "/mine", "check"});
    CHECK_MESSAGE(checked.status == 0, checked.err); // of things on models that are not here there are warnings
}

TEST_CASE("with other figures here: mine kept, theirs taken, both") {
    const Sent from = sent("adopt-figures");
    const Ran first = adopt(from);
    REQUIRE_MESSAGE(first.status == 0, first.err);
    CHECK(read(from.shop + "/catalogue/frame.yaml") == frame); // byte for byte
    CHECK(read(from.shop + "/work/plate.yaml") == plate);
    change(from.shop + "/catalogue/frame.yaml", "25 N·m", "22 N·m");
    const auto before = tree_of(from.root);

    const auto figure = [&](const std::string& procedure) {
        const Ran card = run({"--shop", from.shop, "print", procedure, "--vehicle", "cart", "--as", "json"});
        CHECK_MESSAGE(card.status == 0, card.err);
        return says(card.out, "\"value\": \"25\"") ? 25 : says(card.out, "\"value\": \"22\"") ? 22 : 0;
    };

    SUBCASE("nobody answers") {
        const Ran ran = adopt(from);
        CHECK(ran.status == 1);
        CHECK(says(ran.out, "value: 22 N·m ±10 % → 25 N·m ±10 %"));
        CHECK(says(ran.err, "--mine torque:frame/bolt  --theirs torque:frame/bolt  --both frame/bolt=NEW-NAME"));
        CHECK(tree_of(from.root) == before);
    }
    SUBCASE("mine") {
        for (const std::vector<std::string>& how :
             {std::vector<std::string>{"--mine", "torque:frame/bolt"}, {"--all-mine"}}) {
            const Ran ran = adopt(from, how);
            CHECK(ran.status == 0);
            CHECK(says(ran.out, "mine stays"));
            CHECK(digest_in(ran.out, "plate") != from.digest);
            CHECK(says(ran.out, "handed over as " + from.digest));
            CHECK(tree_of(from.root) == before);
        }
        CHECK(figure("plate") == 22);
    }
    SUBCASE("theirs, and first as it would be") {
        const Ran dry = adopt(from, {"--all-theirs", "--dry-run"});
        CHECK(dry.status == 0);
        CHECK(says(dry.out, "-  bolt: { value: 22 N·m"));
        CHECK(says(dry.out, "+  bolt: { value: 25 N·m"));
        CHECK(tree_of(from.root) == before);
        const Ran ran = adopt(from, {"--theirs", "torque:frame/bolt"});
        CHECK(ran.status == 0);
        CHECK(digest_in(ran.out, "plate") == from.digest);
        CHECK(read(from.shop + "/catalogue/frame.yaml") == frame);
        CHECK(figure("plate") == 25);
    }
    SUBCASE("both: another procedure, by another catalogue") {
        const Ran ran = adopt(from, {"--both", "plate=plate-their-way", "--both", "catalogue:frame=frame-their-way"});
        CHECK_MESSAGE(ran.status == 0, ran.err);
        CHECK(says(ran.out, "handed over as " + from.digest));
        CHECK(read(from.shop + "/catalogue/frame.yaml") == replaced(frame, "25 N·m", "22 N·m"));
        CHECK(says(read(from.shop + "/catalogue/frame-their-way.yaml"), "catalogue: frame-their-way"));
        const std::string theirs = read(from.shop + "/work/plate-their-way.yaml");
        CHECK(says(theirs, "procedure: plate-their-way"));
        CHECK(says(theirs, "uses: [frame-their-way, fixings]"));
        CHECK(read(from.shop + "/work/plate.yaml") == plate);
        checks_clean(from.shop);
        CHECK(figure("plate") == 22);
        CHECK(figure("plate-their-way") == 25);
    }
    SUBCASE("both: a limit under another name, and what decides by it") {
        change(from.shop + "/catalogue/frame.yaml", "22 N·m", "25 N·m");
        change(from.shop + "/catalogue/frame.yaml", "minimum: 2.0 mm", "minimum: 2.2 mm");
        const Ran ran = adopt(from, {"--both", "plate=plate-their-way", "--both", "frame/lining=lining-of-theirs"});
        CHECK_MESSAGE(ran.status == 0, ran.err);
        const std::string theirs = read(from.shop + "/work/plate-their-way.yaml");
        CHECK(says(theirs, "- measure: lining-of-theirs\n  - decide: lining-of-theirs\n"));
        const std::string both = read(from.shop + "/catalogue/frame.yaml");
        CHECK(says(both, "  lining: { name: lining, of: pad, new: 9.0 mm, minimum: 2.2 mm"));
        CHECK(says(both, "  lining-of-theirs: { name: lining, of: pad, new: 9.0 mm, minimum: 2.0 mm"));
        checks_clean(from.shop);
    }
    SUBCASE("both: a bolt under another name") { // what it holds says so, too
        const Ran ran = adopt(from, {"--both", "plate=plate-their-way", "--both", "frame/bolt=long-bolt"});
        CHECK(ran.status == 1);
        CHECK(says(ran.err, "--mine frame/plate"));
        CHECK(says(ran.out, "held-by: plate bolt → frame/long-bolt"));
        CHECK(tree_of(from.root) == before);
        const Ran with_plate = adopt(from, {"--both", "plate=plate-their-way", "--both", "frame/bolt=long-bolt",
                                            "--both", "frame/plate=long-plate"});
        CHECK_MESSAGE(with_plate.status == 0, with_plate.err);
        CHECK(says(read(from.shop + "/work/plate-their-way.yaml"),
                   "    say: Take the {long-bolt} out, and keep the {long-bolt} at hand.\n"));
        CHECK(says(read(from.shop + "/catalogue/frame.yaml"), "  long-bolt: { value: 25 N·m"));
        CHECK(figure("plate") == 22);
        CHECK(figure("plate-their-way") == 25);
        checks_clean(from.shop);
    }
}

TEST_CASE("what is put into a catalogue of mine leaves the rest of it as it is") {
    const Sent from = sent("adopt-splice");
    // In braces, without a list for torques or limits, with line ends of another system in one, and without `uses`.
    write(from.shop + "/catalogue/frame.yaml",
          "catalogue: frame   # mine\n\n"
          "parts: { plate: { name: plate, held-by: [bolt] }, rail: { name: rail } } # by hand\n"
          "fasteners:\n    bolt:   # old\n        name: plate bolt\n        thread: M8x1.25\n"
          "        class: \"8.8\"\n        critical: true\n    # The last one.\n    stud: { name: stud, secured-by: "
          "fit }   # in\n");
    write(from.shop + "/catalogue/fixings.yaml",
          "\xEF\xBB\xBF"
          "catalogue: fixings\r\nconsumables:\r\n  wax: { name: wax, sort: other, unit: g }\r\n");
    const Ran ran = adopt(from, {"--theirs", "frame/bolt"});
    REQUIRE_MESSAGE(ran.status == 0, ran.err);
    CHECK(digest_in(ran.out, "plate") == from.digest);
    CHECK(read(from.shop + "/catalogue/frame.yaml") == R"(catalogue: frame   # mine
uses: [fixings]

parts:
  plate: { name: plate, held-by: [bolt] }
  rail: { name: rail }
  # Seen from below.
  pad: { name: pad } # by hand
fasteners:
    bolt:
      name: plate bolt
      thread: M8x1.25
      class: "8.8"
      critical: true
      threadlock: locker
    # The last one.
    stud: { name: stud, secured-by: fit }   # in

torques:
  bolt: { value: 25 N·m ±10 %, threads: thread-locked, source: invented }

limits:
  lining: { name: lining, of: pad, new: 9.0 mm, minimum: 2.0 mm, reads-to: 0.1 mm, uncertainty: 0.1 mm, source: invented }
)");
    const std::string mixed = read(from.shop + "/catalogue/fixings.yaml");
    CHECK(std::count(mixed.begin(), mixed.end(), '\n') == std::count(mixed.begin(), mixed.end(), '\r'));
    CHECK(mixed.starts_with("\xEF\xBB\xBF"
                            "catalogue: fixings\r\nconsumables:\r\n  wax: { name: wax, sort: other, unit: g }\r\n"));
}

TEST_CASE("a name that would be taken for another one is written whole, mine and theirs") {
    const Sent from = sent("adopt-names");
    write(from.shop + "/catalogue/bed.yaml",
          "catalogue: bed\nparts: { board: { name: board, held-by: [bolt] } }\n"
          "fasteners: { bolt: { name: board bolt, thread: M6x1, class: \"8.8\" } }\n"
          "torques: { bolt: { value: 9 N·m ±10 %, threads: dry, source: invented } }\n");
    write(from.shop + "/vehicles/barrow.yaml",
          "vehicle: barrow\nname: Barrow\ntorques: { bolt: { value: 8 N·m ±10 %, threads: dry, source: invented } }\n");
    const Ran ran = adopt(from);
    REQUIRE_MESSAGE(ran.status == 0, ran.err);
    CHECK(digest_in(ran.out, "plate") == from.digest);
    CHECK(says(read(from.shop + "/vehicles/barrow.yaml"), "{ bed/bolt: { value: 8"));
    checks_clean(from.shop);
}

TEST_CASE("what would change procedures of mine is told") {
    const Sent from = sent("adopt-touched");
    REQUIRE(adopt(from).status == 0);
    write(from.shop + "/work/other.yaml",
          replaced(replaced(plate, "procedure: plate", "procedure: other"), "Plate", "Other"));
    change(from.shop + "/catalogue/frame.yaml", "25 N·m", "22 N·m");
    const Ran ran = adopt(from, {"--all-theirs"});
    CHECK(ran.status == 0);
    CHECK(says(ran.out, "mine, which says something else now"));
}

TEST_CASE("warnings that the author allows are told with his reasons") {
    const std::string root = scratch("adopt-allows");
    shop_called(root + "/mine", "mine");
    REQUIRE(run({"--shop", demo, "bundle", "trailer-brake-test", "--out", root + "/b.yaml"}).status == 0);
    const Ran ran = run({"--shop", root + "/mine", "adopt", root + "/b.yaml"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(says(ran.out, "    allows told-in-words: The coupling holds the trailer"));
}

TEST_CASE("a picture that differs is a difference, too") {
    const std::string root = scratch("adopt-pictures");
    const std::string mine = root + "/mine";
    fs::copy(demo, mine, fs::copy_options::recursive);
    fs::copy_file(demo + "/pictures/drum.png", mine + "/pictures/caliper.png", fs::copy_options::overwrite_existing);
    REQUIRE(run({"--shop", demo, "bundle", "front-disc-service", "--out", root + "/discs.yaml"}).status == 0);
    const auto adopt_with = [&](std::vector<std::string> more) {
        more.insert(more.begin(), {"--shop", mine, "adopt", root + "/discs.yaml"});
        return run(more);
    };
    const Ran asked = adopt_with({});
    CHECK(asked.status == 1);
    CHECK(says(asked.err, "--theirs pictures/caliper.png"));
    const std::string own = read(mine + "/pictures/caliper.png");
    const Ran both = adopt_with({"--both", "pictures/caliper.png=pictures/caliper-of-theirs.png", "--both",
                                 "front-disc-service=discs-their-way"});
    CHECK_MESSAGE(both.status == 0, both.err);
    CHECK(read(mine + "/pictures/caliper.png") == own);
    CHECK(read(mine + "/pictures/caliper-of-theirs.png") == read(demo + "/pictures/caliper.png"));
    CHECK(says(read(mine + "/brakes/discs-their-way.yaml"), "pictures/caliper-of-theirs.png"));
    const Ran theirs = adopt_with({"--theirs", "pictures/caliper.png"});
    CHECK_MESSAGE(theirs.status == 0, theirs.err);
    CHECK(read(mine + "/pictures/caliper.png") == read(demo + "/pictures/caliper.png"));
    CHECK(says(theirs.out, "as it was handed over"));
    checks_clean(mine);
}

// Some entries of every catalogue are taken out, others say something else; whatever they were, they come back.
TEST_CASE("whatever lacks here or differs, all of theirs makes it theirs") {
    const std::string root = scratch("adopt-laws");
    std::vector<std::string> words{"--shop", demo, "bundle", "--out", root + "/all.yaml"};
    for (const auto& entry : fs::recursive_directory_iterator(demo)) {
        const std::string text = entry.path().extension() == ".yaml" ? read(entry.path().string()) : "";
        if (says("\n" + text, "\nprocedure: ") && says(text, "\nsteps:")) words.push_back(entry.path().stem().string());
    }
    const Ran all = run(words);
    REQUIRE_MESSAGE(all.status == 0, all.err);
    std::mt19937 random(7); // NOLINT: the same every time
    constexpr int rounds = BENCHLEAF_TIME_SLACK > 5 ? 2 : 6;
    for (int round = 0; round < rounds; ++round) {
        CAPTURE(round);
        const std::string mine = root + "/mine";
        fs::remove_all(mine);
        fs::copy(demo, mine, fs::copy_options::recursive);
        fs::remove_all(mine + "/jobs");
        fs::remove(mine + "/brakes/front-disc-service.yaml");
        std::size_t gone = 0;
        for (const auto& file : fs::directory_iterator(mine + "/catalogue")) {
            std::stringstream lines(read(file.path().string()));
            std::string left;
            bool first = true, taken = false;
            for (std::string line; std::getline(lines, line);) {
                const std::size_t column = std::min(line.find_first_not_of(' '), line.size());
                if (column == 0) first = true, taken = false; // a list begins
                if (column == 2 && line[2] != '#') {
                    taken = !first && random() % 4 == 0; // an empty list would be a mistake
                    first = false;
                    gone += taken ? 1 : 0;
                }
                if (column >= 2 && taken) continue;
                if (const std::size_t name = line.find("name: ");
                    name != std::string::npos && line[name + 6] != '"' && random() % 6 == 0)
                    line.insert(name + 6, random() % 2 == 0 ? "old " : "\u00e4lt ");
                left += line + (round % 2 == 0 ? "\n" : "\r\n");
            }
            write(file.path(), left);
        }
        REQUIRE(gone > 5);
        const Ran ran = run({"--shop", mine, "adopt", root + "/all.yaml", "--all-theirs"});
        REQUIRE_MESSAGE(ran.status == 0, ran.err);
        CHECK(!says(ran.out, "handed over as"));
        const Ran compared = run({"compare", demo, mine});
        for (const char* kind : {"part ", "fastener ", "torque ", "limit ", "procedure ", "caution ", "tool "})
            CHECK_MESSAGE(!says("\n" + compared.out, "\n" + std::string(kind)), compared.out);
        checks_clean(mine);
    }
}

TEST_CASE("vehicles: those that it fits, or none") {
    const Sent from = sent("adopt-vehicles");
    write(from.shop + "/vehicles/barrow.yaml", "vehicle: barrow\nname: Barrow\n");
    const Ran ran = adopt(from, {"--no-vehicles"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(!fs::exists(from.shop + "/vehicles/cart.yaml"));
    CHECK(says(ran.err, "fits no vehicle of this shop"));
}

// -- Asking -----------------------------------------------------------------------------------------------------------------------
namespace {

struct Shown {
    int status = -1;
    std::string text;
};

// At a terminal: what is typed, and all that is shown. `meanwhile` happens when it asks for the first time.
Shown at_a_terminal(
    const std::vector<std::string>& arguments, const std::string& typed,
    const std::function<void()>& meanwhile = [] {}) {
    std::vector<std::string> words = arguments;
    words.insert(words.begin(), program());
    std::vector<char*> argv;
    for (std::string& word : words) argv.push_back(word.data());
    argv.push_back(nullptr);
    int terminal = -1;
    const pid_t child = forkpty(&terminal, nullptr, nullptr, nullptr);
    if (child == 0) {
        alarm(30);
        execv(argv[0], argv.data());
        _exit(127);
    }
    std::string shown;
    char piece[4096];
    while (!shown.ends_with(" > ")) {
        const ssize_t n = ::read(terminal, piece, sizeof piece);
        if (n <= 0) break;
        shown.append(piece, static_cast<std::size_t>(n));
    }
    meanwhile();
    CHECK(::write(terminal, typed.data(), typed.size()) == static_cast<ssize_t>(typed.size()));
    for (ssize_t n = 0; (n = ::read(terminal, piece, sizeof piece)) > 0;)
        shown.append(piece, static_cast<std::size_t>(n));
    int status = 0;
    waitpid(child, &status, 0);
    close(terminal);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 128, shown};
}

} // namespace

TEST_CASE("at a terminal it asks about each thing that differs") {
    const Sent from = sent("adopt-asks");
    REQUIRE(adopt(from).status == 0);
    change(from.shop + "/catalogue/frame.yaml", "25 N·m", "22 N·m");
    change(from.shop + "/work/plate.yaml", "revision: 1", "revision: 4");
    const auto before = tree_of(from.root);
    const std::vector<std::string> how = {"--shop", from.shop, "adopt", from.file};
    SUBCASE("stop") {
        const Shown ended = at_a_terminal(how, "t\ns\n");
        CHECK(ended.status == 1);
        CHECK(says(ended.text, "revision: 4 → 1"));
        CHECK(says(ended.text, "nothing was written"));
        CHECK(tree_of(from.root) == before);
    }
    SUBCASE("theirs and mine") {
        const Shown ended = at_a_terminal(how, "t\nm\n");
        CHECK_MESSAGE(ended.status == 0, ended.text);
        CHECK(read(from.shop + "/work/plate.yaml") == plate);
        CHECK(says(read(from.shop + "/catalogue/frame.yaml"), "22 N·m"));
    }
    SUBCASE("what has changed while it asked is not written over") {
        const Shown ended =
            at_a_terminal(how, "t\nt\n", [&] { change(from.shop + "/catalogue/frame.yaml", "22 N·m", "21 N·m"); });
        CHECK(ended.status == 3);
        CHECK(says(ended.text, "frame.yaml has changed since it was read"));
        CHECK(says(read(from.shop + "/catalogue/frame.yaml"), "21 N·m"));
        CHECK(says(read(from.shop + "/work/plate.yaml"), "revision: 4"));
    }
    SUBCASE("mine, and so nobody asks for what only theirs needs") {
        const Shown ended = at_a_terminal(how, "m\n");
        CHECK_MESSAGE(ended.status == 0, ended.text);
        CHECK(tree_of(from.root) == before);
    }
    SUBCASE("both") {
        const Shown ended = at_a_terminal(how, "what?\nb\nNot A Name\nb\nplate-of-theirs\nt\n");
        CHECK_MESSAGE(ended.status == 0, ended.text);
        CHECK(says(ended.text, "is no name"));
        CHECK(says(read(from.shop + "/work/plate.yaml"), "revision: 4"));
        CHECK(says(read(from.shop + "/work/plate-of-theirs.yaml"), "revision: 1"));
    }
}

// -- What is refused --------------------------------------------------------------------------------------------------------------
namespace {

using Files = std::map<std::string, std::string>;

Files good_files() {
    return {{"catalogue/frame.yaml", frame},
            {"catalogue/fixings.yaml", fixings},
            {"vehicles/cart.yaml", "vehicle: cart\nname: Cart\nhas: { load-bed: plated }\n"},
            {"work/plate.yaml", plate}};
}

std::string bundled(const Files& files) {
    std::vector<bundle::File> all;
    for (const auto& [path, bytes] : files) all.push_back({path, bytes, !path.ends_with(".yaml")});
    return bundle::write(all, bundle::Heading::handed_over);
}

std::string with(const std::string& path, const std::string& bytes) {
    Files files = good_files();
    files[path] = bytes;
    return bundled(files);
}

std::string deep_yaml() {
    std::string text = "procedure: deep\ntitle: Deep\nrevision: 1\nsteps: ";
    for (int i = 0; i < 5000; ++i) text += "[";
    return text + "\n";
}

struct Hostile {
    std::string what;
    std::string bundle;
    std::string named; // what has to stand in the message
};

std::vector<Hostile> hostile() {
    const std::string procedure = "procedure: x\ntitle: X\nrevision: 1\nsteps: [Look.]\n";
    std::vector<Hostile> all;
    for (const auto& [path, named] : std::vector<std::pair<std::string, std::string>>{
             {"../x.yaml", "`../x.yaml`"},
             {"work/../../x.yaml", "`work/../../x.yaml`"},
             {"/tmp/x.yaml", "`/tmp/x.yaml`"},
             {"work\\x.yaml", "`work\\x.yaml`"},
             {"C:/x.yaml", "`C:/x.yaml`"},
             {"work/\x1b[2Jx.yaml", "control character"},
             {std::string("work/x\0.yaml", 12), "control character"},
             {"work/" + std::string(300, 'x') + ".yaml", "more than 255 bytes"},
             {std::string(1200, 'x') + "/x.yaml", "more than 1000 bytes"},
             {".git/hooks/x.yaml", "`.git/hooks/x.yaml`"},
             {"work/.x.yaml", "`work/.x.yaml`"},
             {".schemas/x.yaml", "`.schemas/x.yaml`"},
             {"work//x.yaml", "empty part"},
             {"./x.yaml", "`./x.yaml`"},
             {"Work/plate.yaml", "nothing but capitals"},
             {"work/PLATE.yaml", "nothing but capitals"},
             {"work/plate.yaml/x.yaml", "which is a file"},
             {"shop.yaml", "shop.yaml is a shop's own file"},
             {"jobs/x.yaml", "jobs/x.yaml is a job"},
             {"records/a/x.yaml", "records/a/x.yaml is a record"},
             {"answers/x.yaml", "answers/x.yaml is answers to a card"},
             {"approvals/x.yaml", "approvals/x.yaml is an approval"},
             {"catalogue/x.yaml", "catalogue/x.yaml"},
             {"vehicles/x.yaml", "vehicles/x.yaml"},
             {"work/y.yaml", "work/y.yaml"}, // says another name than its path
             {"work/x.sh", "work/x.sh"},
             {"pictures/x.png", "pictures/x.png"}}) // no picture
        all.push_back({"the path " + path, with(path, procedure), named});

    const std::string good = bundled(good_files());
    all.push_back({"twice", good + good.substr(good.find("  - path:")), "is there twice"});
    all.push_back({"wrong digest", replaced(good, "25 N·m", "35 N·m"), "its SHA-256 is another"});
    all.push_back({"cut off in a line", good.substr(0, good.size() / 2), "line "});
    all.push_back({"cut off between files", good.substr(0, good.rfind("  - path:")), "no procedure"});
    all.push_back({"nothing", "", "neither a bundle nor a printed card"});
    all.push_back({"no bundle", "procedure: x\n", "neither a bundle nor a printed card"});
    all.push_back({"no PDF", "%PDF-1.7\nand nothing\n", "plate.bundle.yaml"});
    all.push_back({"a version of later", replaced(good, "bundle: 1", "bundle: 2"), "version 2"});
    all.push_back({"deep", with("work/deep.yaml", deep_yaml()), "work/deep.yaml"});
    all.push_back({"a picture that is not in it",
                   with("work/x.yaml", "procedure: x\ntitle: X\nrevision: 1\nsteps:\n  - say: Look.\n    picture: "
                                       "pictures/lacking.png\n"),
                   "pictures/lacking.png, which is not in it"});
    all.push_back({"a long line", with("work/x.yaml", "procedure: x\ntitle: " + std::string(5'000'000, 'x') + "\n"),
                   "work/x.yaml"});
    Files many = good_files();
    for (int i = 0; i < 20'001; ++i) many[fmt::format("work/a{}.yaml", i)] = "";
    all.push_back({"many files", bundled(many), "more than 20000 files"});
    all.push_back({"a name with an escape in it",
                   with("work/x.yaml", "procedure: \"x\\e[31m\"\ntitle: X\nrevision: 1\nsteps: [Look.]\n"),
                   "work/x.yaml"});
    all.push_back({"an escape in a text",
                   with("work/x.yaml", "procedure: x\ntitle: \"X \\x1b]0;pwned\\x07\"\nrevision: 1\nsteps: [Look.]\n"),
                   "work/x.yaml"});
    all.push_back({"names that differ in capitals",
                   with("catalogue/frame.yaml", replaced(frame, "  pad: {", "  Plate: { name: other }\n  pad: {")),
                   "catalogue/frame.yaml"});
    all.push_back({"a name twice",
                   with("catalogue/frame.yaml", replaced(frame, "  pad: {", "  plate: { name: other }\n  pad: {")),
                   "catalogue/frame.yaml"});
    for (const char* name : {"~", "\"\"", "a/b", "-x", "x--y", "1.5", "\"a b\"", "<<"})
        all.push_back({fmt::format("an entry called {}", name),
                       with("catalogue/frame.yaml",
                            replaced(frame, "  pad: {", fmt::format("  {}: {{ name: other }}\n  pad: {{", name))),
                       "catalogue/frame.yaml"});
    all.push_back({"another kind of file", with("work/x.yaml", "recipe: x\n"), "work/x.yaml"});
    all.push_back(
        {"an alias", with("work/x.yaml", "procedure: &a x\ntitle: *a\nrevision: 1\nsteps: [Look.]\n"), "work/x.yaml"});
    all.push_back({"procedures that call each other",
                   [&] {
                       Files files = good_files();
                       files["work/x.yaml"] = "procedure: x\ntitle: X\nrevision: 1\nsteps: [do: y]\n";
                       files["work/y.yaml"] = "procedure: y\ntitle: Y\nrevision: 1\nsteps: [do: x]\n";
                       return bundled(files);
                   }(),
                   "work/x.yaml"});
    all.push_back(
        {"parts that lie in each other",
         with("catalogue/frame.yaml", replaced(frame, "  pad: { name: pad }",
                                               "  pad: { name: pad, inside: box }\n  box: { name: box, inside: pad }")),
         "catalogue/frame.yaml"});
    all.push_back({"a name that is nowhere",
                   with("work/x.yaml", "procedure: x\ntitle: X\nrevision: 1\nuses: frame\nsteps: [slacken: nut]\n"),
                   "work/x.yaml"});
    all.push_back({"a catalogue that is nowhere",
                   with("work/x.yaml", "procedure: x\ntitle: X\nrevision: 1\nuses: nowhere\nsteps: [Look.]\n"),
                   "work/x.yaml"});
    all.push_back({"a bolt that is left loose", with("work/plate.yaml", replaced(plate, "  - torque: bolt\n", "")),
                   "work/plate.yaml"});
    all.push_back({"a figure that is no figure", with("catalogue/frame.yaml", replaced(frame, "25 N·m", "25")),
                   "catalogue/frame.yaml"});
    return all;
}

} // namespace

TEST_CASE("a hostile bundle is refused by name, and nothing is written") {
    const Sent from = sent("adopt-hostile");
    write(from.root + "/outside.txt", "mine");
    for (const Hostile& each : hostile()) {
        CAPTURE(each.what);
        write(from.file, each.bundle);
        const auto before = tree_of(from.root);
        for (const std::vector<std::string>& how :
             {std::vector<std::string>{"--all-theirs"}, {"--all-theirs", "--dry-run"}}) {
            const Ran ran = adopt(from, how);
            CHECK(ran.status == 1);
            CAPTURE(ran.err);
            CHECK(says(ran.err, each.named));
            CHECK(std::none_of(ran.err.begin(), ran.err.end(),
                               [](char c) { return c == '\x1b' || c == '\x07' || c == '\0'; }));
            CHECK(tree_of(from.root) == before);
        }
    }
}

TEST_CASE("whatever is spoiled in the files of a bundle: it lands clean, or nothing lands") {
    const Sent from = sent("adopt-spoiled");
    write(from.shop + "/catalogue/frame.yaml",
          replaced(replaced(frame, "25 N·m", "22 N·m"), "  pad: { name: pad }\n", ""));
    write(from.shop + "/catalogue/fixings.yaml", fixings);
    change(from.shop + "/catalogue/frame.yaml", "limits:\n  lining",
           "limits:\n  gap: { name: gap, of: plate, maximum: 1.0 mm, "
           "reads-to: 0.1 mm, source: invented }\n#  lining");
    checks_clean(from.shop);
    const auto start = tree_of(from.shop);
    const Files good = good_files();
    std::mt19937 random(11); // NOLINT: the same every time
    const auto below = [&](std::size_t end) { return std::uniform_int_distribution<std::size_t>(0, end - 1)(random); };
    std::size_t landed = 0, refused = 0;
    constexpr int rounds = BENCHLEAF_TIME_SLACK > 5 ? 40 : 150; // the sanitizers' program is slow
    for (int round = 0; round < rounds; ++round) {
        Files files = good;
        for (std::size_t times = 1 + below(2); times > 0; --times) {
            auto file = files.begin();
            std::advance(file, static_cast<std::ptrdiff_t>(below(files.size())));
            std::vector<std::string> lines;
            std::stringstream all(file->second);
            for (std::string line; std::getline(all, line);) lines.push_back(line);
            std::string& line = lines[below(lines.size())];
            switch (below(5)) {
            case 0:
                line.clear();
                break;
            case 1:
                line += "\n" + lines[below(lines.size())];
                break;
            case 2:
                std::swap(line, lines[below(lines.size())]);
                break;
            case 3:
                if (!line.empty()) line.erase(below(line.size()), 1);
                break;
            default:
                line.insert(below(line.size() + 1), 1, "{}[]:#-'\"|> ,ax"[below(16)]);
            }
            file->second.clear();
            for (const std::string& each : lines) file->second += each + "\n";
            if (base::first_bad_utf8(file->second)) file->second = good.at(file->first);
        }
        write(from.file, bundled(files));
        const Ran ran = adopt(from, {round % 2 == 0 ? "--all-theirs" : "--all-mine"});
        CAPTURE(round);
        CAPTURE(ran.err);
        CHECK((ran.status == 0 || ran.status == 1));
        if (ran.status == 0) {
            ++landed;
            const Ran check = run({"--shop", from.shop, "check"});
            CHECK_MESSAGE(check.status == 0, check.err);
            fs::remove_all(from.shop);
            for (const auto& [path, bytes] : start)
                if (bytes != "folder") write(from.shop + "/" + path, bytes);
        } else {
            ++refused;
            CHECK(tree_of(from.shop) == start);
        }
    }
    MESSAGE(landed << " landed, " << refused << " refused");
    CHECK(landed > 0);
    CHECK(refused > 10);
}

TEST_CASE("so is one of more bytes than anybody reads") {
    const Sent from = sent("adopt-huge");
    fs::resize_file(from.file, 256'000'001);
    const Ran ran = adopt(from);
    CHECK(ran.status == 1);
    CHECK(says(ran.err, "has more than 256000000 bytes"));
    if (BENCHLEAF_TIME_SLACK == 1) CHECK(ran.peak_kib < 100'000);
}

TEST_CASE("so is a hostile card") {
    const Sent from = sent("adopt-hostile-cards");
    const auto attach = [&](const std::vector<std::pair<std::string, std::string>>& files) {
        std::vector<std::string> words{"--empty", from.root + "/card.pdf"};
        for (const auto& [name, bytes] : files) {
            write(from.root + "/" + name, bytes);
            words.insert(words.end(),
                         {"--add-attachment", from.root + "/" + name, "--filename=" + name, "--key=" + name, "--"});
        }
        const Ran ran = run("/usr/bin/qpdf", words);
        REQUIRE_MESSAGE(ran.status == 0, "qpdf (Debian package qpdf): " << ran.err);
        for (const auto& [name, bytes] : files) fs::remove(from.root + "/" + name);
    };
    std::string named;
    SUBCASE("with the sources of several") {
        attach({{"a.sources.yaml", bundled(good_files())}, {"b.sources.yaml", bundled(good_files())}});
        named = "sources of several cards";
    }
    SUBCASE("whose source leads out") {
        attach({{"a.sources.yaml", with("../x.yaml", "procedure: x\n")}});
        named = "`../x.yaml`";
    }
    SUBCASE("without a source") {
        attach({{"a.txt", "nothing"}});
        named = "card.pdf";
    }
    SUBCASE("whose source blows up when it is unpacked") {
        attach({{"a.sources.yaml", std::string(270'000'000, ' ')}});
        CHECK(fs::file_size(from.root + "/card.pdf") < 2'000'000);
        named = "more than a card can hold";
    }
    const auto before = tree_of(from.root);
    const Ran ran = run({"--shop", from.shop, "adopt", from.root + "/card.pdf", "--all-theirs"});
    CAPTURE(ran.err);
    CHECK(ran.status == 1);
    CHECK(says(ran.err, named));
    if (BENCHLEAF_TIME_SLACK == 1) CHECK(ran.peak_kib < 200'000);
    CHECK(tree_of(from.root) == before);
}

TEST_CASE("rings of catalogues are no harm") { // whose names are seen by each other
    const Sent from = sent("adopt-rings");
    write(from.file, with("catalogue/fixings.yaml",
                          replaced(fixings, "catalogue: fixings\n", "catalogue: fixings\nuses: frame\n")));
    const Ran ran = adopt(from);
    CHECK_MESSAGE(ran.status == 0, ran.err);
}

TEST_CASE("what stands in my shop's way is refused by name") {
    const Sent from = sent("adopt-my-shop");
    std::string named;
    SUBCASE("a folder that differs in capitals") {
        write(from.shop + "/Work/lists.txt", "mine");
        named = "`work/plate.yaml`";
    }
    SUBCASE("a file of the same name in capitals") {
        write(from.shop + "/work/PLATE.txt/x.txt", "mine");
        write(from.shop + "/catalogue/FRAME.YAML.txt", "mine");
        fs::create_directories(from.shop + "/work");
        write(from.shop + "/work/Plate.yaml", "procedure: Plate\n");
        named = "work/";
    }
    SUBCASE("a folder where a file is to be") {
        fs::create_directories(from.shop + "/work/plate.yaml");
        named = "work/plate.yaml";
    }
    SUBCASE("a file where a folder is to be") {
        write(from.shop + "/work", "mine");
        named = "work";
    }
    SUBCASE("a folder that is a link out of the shop") {
        fs::create_directories(from.root + "/elsewhere");
        fs::create_directory_symlink(from.root + "/elsewhere", from.shop + "/catalogue");
        named = "catalogue";
    }
    SUBCASE("a file that is a link out of the shop") {
        write(from.root + "/elsewhere/frame.yaml", replaced(frame, "25 N·m", "22 N·m"));
        fs::create_directories(from.shop + "/catalogue");
        fs::create_symlink(from.root + "/elsewhere/frame.yaml", from.shop + "/catalogue/frame.yaml");
        write(from.shop + "/catalogue/fixings.yaml", fixings);
        named = "catalogue/frame.yaml";
    }
    SUBCASE("a link to nowhere") {
        fs::create_directories(from.shop + "/work");
        fs::create_symlink(from.root + "/nowhere.yaml", from.shop + "/work/plate.yaml");
        named = "work/plate.yaml";
    }
    SUBCASE("a catalogue of mine that cannot be read") {
        write(from.shop + "/catalogue/frame.yaml", "catalogue: frame\nparts: { plate: [\n");
        named = "catalogue/frame.yaml";
    }
    SUBCASE("a file of mine that could be anything") {
        write(from.shop + "/work/other.yaml", "proc: [\n");
        named = "this shop cannot be read whole";
    }
    SUBCASE("a name of mine that names nothing, and then would name something of theirs") {
        write(from.shop + "/catalogue/frame.yaml", replaced(frame, "  pad: { name: pad }\n", ""));
        write(from.shop + "/catalogue/fixings.yaml", fixings);
        write(from.shop + "/work/mine.yaml",
              "procedure: mine\ntitle: Mine\nrevision: 1\nuses: frame\nsteps: [{ inspect: pad, "
              "look-for: cracks, id: look }, { decide: look, if-not: [Say so.] }]\n");
        named = "mend that first";
    }
    SUBCASE("another procedure in its place") {
        write(from.shop + "/work/plate.yaml", "procedure: other\ntitle: Other\nrevision: 1\nsteps: [Look.]\n");
        named = "work/plate.yaml";
    }
    SUBCASE("a picture that is no file of a shop's") {
        write(from.shop + "/pictures/x.png/y.txt", "mine");
        fs::copy_file(demo + "/pictures/drum.png", from.root + "/x.png");
        named = "pictures/x.png";
        Files files = good_files();
        files["pictures/x.png"] = read(from.root + "/x.png");
        files["work/plate.yaml"] =
            replaced(plate, "  - torque: bolt\n", "  - torque: bolt\n    picture: pictures/x.png\n");
        write(from.file, bundled(files));
    }
    SUBCASE("an entry of another kind") {
        write(from.shop + "/catalogue/frame.yaml",
              "catalogue: frame\nparts: { bolt: { name: a bolt that is a part } }\n");
        named = "frame/bolt";
    }
    SUBCASE("a procedure of mine that would no longer close") {
        write(from.shop + "/catalogue/frame.yaml",
              replaced(replaced(frame, "    threadlock: locker\n", ""), "thread-locked", "dry"));
        write(from.shop + "/catalogue/fixings.yaml", fixings);
        write(from.shop + "/vehicles/cart.yaml", "vehicle: cart\nname: Cart\nhas: { load-bed: plated }\n");
        write(from.shop + "/work/mine.yaml",
              "procedure: mine\ntitle: Mine\nrevision: 1\nuses: frame\nsteps: [slacken: bolt, torque: bolt]\n");
        named = "work/mine.yaml";
    }
    const auto before = tree_of(from.root);
    const Ran ran = adopt(from, {"--all-theirs"});
    CAPTURE(ran.err);
    CHECK((ran.status == 1 || ran.status == 3));
    CHECK(says(ran.err, named));
    CHECK(tree_of(from.root) == before);
}

TEST_CASE("a link within the shop is followed") {
    const Sent from = sent("adopt-link-within");
    fs::create_directories(from.shop + "/shared");
    fs::create_directory_symlink("shared", from.shop + "/work");
    const Ran ran = adopt(from);
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(read(from.shop + "/shared/plate.yaml") == plate);
    CHECK(fs::is_symlink(from.shop + "/work"));
}

TEST_CASE("where one file cannot take its name, those before it are put back") {
    const Sent from = sent("adopt-put-back");
    REQUIRE(adopt(from).status == 0);
    change(from.shop + "/catalogue/frame.yaml", "25 N·m", "22 N·m");
    change(from.shop + "/catalogue/fixings.yaml", "20 min", "25 min");
    change(from.shop + "/work/plate.yaml", "revision: 1", "revision: 4");
    fs::remove(from.shop + "/vehicles/cart.yaml");
    fs::remove(from.shop + "/vehicles");
    const auto before = tree_of(from.root);
    for (const char* held : {"catalogue/fixings.yaml", "catalogue/frame.yaml", "work/plate.yaml"}) {
        CAPTURE(held);
        // What something is mounted on cannot be renamed over; the mount is gone with the process.
        const pid_t child = fork();
        if (child == 0) {
            const std::string file = from.shop + "/" + held;
            const bool own = unshare(CLONE_NEWNS) == 0 || unshare(CLONE_NEWUSER | CLONE_NEWNS) == 0;
            if (!own || mount(nullptr, "/", nullptr, MS_REC | MS_PRIVATE, nullptr) != 0 ||
                mount(file.c_str(), file.c_str(), nullptr, MS_BIND, nullptr) != 0)
                _exit(2);
            const Ran ran = adopt(from, {"--all-theirs"});
            _exit(ran.status == 3 && says(ran.err, held) ? 0 : 1);
        }
        int status = 0;
        waitpid(child, &status, 0);
        if (WEXITSTATUS(status) == 2) {
            MESSAGE("this machine gives no space of mounts of its own; not tried");
            break;
        }
        CHECK(WEXITSTATUS(status) == 0);
        CHECK(tree_of(from.root) == before);
    }
    // Where a file cannot be written at all.
    const pid_t child = fork();
    if (child == 0) {
        const rlimit little{64, 64};
        setrlimit(RLIMIT_FSIZE, &little);
        std::signal(SIGXFSZ, SIG_IGN);
        const Ran ran = run({"--shop", from.shop, "adopt", from.file, "--all-theirs"}, {.out = "/dev/null"});
        _exit(ran.status == 3 ? 0 : 1);
    }
    int status = 0;
    waitpid(child, &status, 0);
    CHECK(WEXITSTATUS(status) == 0);
    CHECK(tree_of(from.root) == before);
    const Ran ran = adopt(from, {"--all-theirs"});
    CHECK_MESSAGE(ran.status == 0, ran.err);
    CHECK(digest_in(ran.out, "plate") == from.digest);
}

TEST_CASE("two do not write at once") {
    const Sent from = sent("adopt-lock");
    const auto before = tree_of(from.root);
    const int folder = ::open(from.shop.c_str(), O_RDONLY | O_DIRECTORY);
    REQUIRE(::flock(folder, LOCK_EX) == 0);
    const Ran ran = adopt(from);
    CHECK(ran.status == 3);
    CHECK(says(ran.err, "somebody else is writing into"));
    CHECK(tree_of(from.root) == before);
    ::close(folder);
    CHECK(adopt(from).status == 0);
}

TEST_CASE("how it is misused") {
    const Sent from = sent("adopt-misused");
    const auto before = tree_of(from.root);
    for (const auto& [how, named] : std::vector<std::pair<std::vector<std::string>, std::string>>{
             {{"plat"}, "there is no procedure `plat`; did you mean `plate`?"},
             {{"--mine", "frame/bold"}, "did you mean `frame/bolt`?"},
             {{"--both", "plate"}, "lacks the new name"},
             {{"--both", "plate=No Name"}, "is no name"},
             {{"--both", "torque:frame/bolt=x"}, "takes the fastener with it"},
             {{"--both", "catalogue:fram=x"}, "there is no catalogue:fram"},
             {{"--mine", "frame/bolt", "--theirs", "frame/bolt"}, "cannot be both"},
             {{"--mine", "frame/pad"}, "`frame/pad` is new here"},
             {{"--all-mine", "--all-theirs"}, "all-"}}) {
        const Ran ran = adopt(from, how);
        CAPTURE(ran.err);
        CHECK(ran.status == 2);
        CHECK(says(ran.err, named));
    }
    // An answer on what nothing that is taken needs is not lost without a word.
    const Sent figures = sent("adopt-misused-figures");
    REQUIRE(adopt(figures).status == 0);
    change(figures.shop + "/catalogue/frame.yaml", "25 N·m", "22 N·m");
    change(figures.shop + "/work/plate.yaml", "revision: 1", "revision: 2");
    const Ran lost = adopt(figures, {"--mine", "plate", "--theirs", "torque:frame/bolt"});
    CHECK(lost.status == 2);
    CHECK(says(lost.err, "nothing that is taken needs `torque:frame/bolt`"));
    CHECK(says(read(figures.shop + "/catalogue/frame.yaml"), "22 N·m"));
    const Ran none = run({"--shop", from.shop, "adopt", from.root + "/nothing.yaml"});
    CHECK(none.status == 3);
    CHECK(says(none.err, "nothing.yaml"));
    CHECK(tree_of(from.root) == before);
}

// -- Bundling -----------------------------------------------------------------------------------------------------------------------
TEST_CASE("only what checks clean is bundled, and no file is lost by it") {
    const Sent from = sent("bundle-refused");
    const std::string senders = from.root + "/senders";
    const auto bundle = [&](const std::string& procedure, const std::string& out) {
        return run({"--shop", senders, "bundle", procedure, "--out", out});
    };
    CHECK(bundle("plate", from.file).status == 0); // a bundle is replaced
    write(from.root + "/letter.yaml", "Dear sir\n");
    const auto before = tree_of(from.root);
    CHECK(bundle("plate", from.root + "/letter.yaml").status == 2);
    CHECK(bundle("plate", senders + "/plate.yaml").status == 2);
    CHECK(bundle("plate", senders + "/work/deep/plate.txt").status == 2);
    CHECK(says(bundle("plat", from.root + "/b.yaml").err, "did you mean `plate`?"));
    CHECK(tree_of(from.root) == before);
    change(senders + "/work/plate.yaml", "  - torque: bolt\n", "");
    const Ran faulty = bundle("plate", from.root + "/b.yaml");
    CHECK(faulty.status == 1);
    CHECK(says(faulty.err, "only what checks clean is handed over"));
    change(senders + "/catalogue/frame.yaml", "parts:\n", "parts: [\n");
    CHECK(bundle("plate", from.root + "/b.yaml").status == 1);
    CHECK(!fs::exists(from.root + "/b.yaml"));
}

TEST_CASE("what is in a bundle: nothing that is the shop's own, and the models without which words would be unknown") {
    const std::string root = scratch("bundle-holds");
    const Ran ran = run({"--shop", demo, "bundle", "front-disc-service", "drum-brake-service", "--vehicle",
                         "ostrel-haul-300", "--out", root + "/b.yaml", "--json"});
    REQUIRE_MESSAGE(ran.status == 0, ran.err);
    const std::string text = read(root + "/b.yaml");
    for (const char* own : {"path: \"shop.yaml", "path: \"jobs/", "path: \"records/", "FW-0118", "wrench B"})
        CHECK(!says(text, own));
    CHECK(says(ran.out, "\"ostrel-haul-300\""));
    CHECK(text.starts_with("# Procedures handed over"));
    const auto back = bundle::read(text);
    REQUIRE(back);
    CHECK(says(ran.out, fmt::format("\"{}\"", back.value().back().path)));
}
