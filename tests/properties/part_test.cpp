// `print` of one job reads the files that its cards are made of, and no others (driver/part.h). Held against reading the whole shop: over the demo
// shop, and over shops of which anything was spoiled (lines lost and moved, words changed, files copied, entries lent, records put anywhere), whatever is made
// of the part is made of the whole, to the byte, with the same files in it and the same dependencies; and nothing is made that the whole refuses, but for
// what a card has nothing to do with, which is counted and named here.
//
// BENCHLEAF_SHOPS is how many such shops (CI: 120; under the sanitizers 8).
#include "driver/depfile.h"
#include "driver/part.h"
#include "driver/pipeline.h"
#include "gates/program.h"
#include "messages/render.h"
#include "properties/sample_records.h"
#include "text/text.h"

#include <array>
#include <doctest/doctest.h>
#include <iostream>
#include <map>
#include <random>
#include <set>

using namespace benchleaf;

namespace {

using Random = std::mt19937;
namespace fs = std::filesystem;

// As different as the cards can be: all that is made goes into it, or all that is said.
struct Outcome {
    bool any = false; // something was made
    std::string made;
    std::vector<std::string> rules; // of what is said
};

std::string all_of(driver::Work& work, const driver::Shopful& shop, const driver::Files& files,
                   const std::string& root) {
    std::string all;
    if (work.cover) all += text::print(work.cover->cover);
    for (const driver::PagedCard& each : work.cards) {
        all += card::dump(each.card);
        all += text::print(each.card);
    }
    all += driver::sources_of(shop, work, files);
    for (const std::string& each : driver::dependencies_of(root, shop, work)) all += each + "\n";
    return all;
}

Outcome outcome(driver::Work& work, const driver::Shopful& shop, const driver::Files& files, const std::string& root) {
    Outcome made;
    made.any = !work.messages.any_error();
    if (made.any) made.made = all_of(work, shop, files, root);
    for (const messages::Message& each : work.messages.all()) made.rules.emplace_back(each.rule->name);
    return made;
}

std::string first_difference(const std::string& a, const std::string& b) {
    const auto at = std::mismatch(a.begin(), a.end(), b.begin(), b.end());
    const auto around = [](const std::string& text, std::size_t from) {
        const std::size_t begin = text.rfind('\n', from - std::min<std::size_t>(from, 60)) + 1;
        return text.substr(begin, 200);
    };
    return "of the part:\n" + around(a, static_cast<std::size_t>(at.first - a.begin())) + "\nof the whole:\n" +
           around(b, static_cast<std::size_t>(at.second - b.begin()));
}

driver::PrintOptions as_printed() {
    driver::PrintOptions options;
    options.approvals = true;
    return options;
}

struct Tally {
    std::size_t parts = 0;
    std::size_t wholes = 0;  // no part
    std::size_t refused = 0; // by the whole
    std::map<std::string, std::size_t> besides;
};

// -- What may be done to the shop -------------------------------------------------------------------------------------------------------

std::string& any_text(driver::Files& files, Random& random, std::string_view below = {}) {
    std::vector<std::string*> texts;
    for (auto& [path, text] : files)
        if (path.ends_with(".yaml") && path.starts_with(below) && !path.starts_with("approvals/"))
            texts.push_back(&text);
    return *texts[random() % texts.size()];
}

void lose_a_line(std::string& text, Random& random) {
    if (text.empty()) return;
    const std::size_t from = text.find('\n', random() % text.size());
    const std::size_t to = from == std::string::npos ? from : text.find('\n', from + 1);
    if (to != std::string::npos) text.erase(from, to - from);
}

// A word that is written in one place takes the place of another.
void change_a_word(driver::Files& files, Random& random) {
    const auto word_in = [&random](const std::string& text) {
        const auto is_of_word = [](char c) { return (c >= 'a' && c <= 'z') || c == '-' || (c >= '0' && c <= '9'); };
        std::size_t begin = random() % std::max<std::size_t>(text.size(), 1);
        while (begin < text.size() && !is_of_word(text[begin])) ++begin;
        while (begin > 0 && is_of_word(text[begin - 1])) --begin;
        std::size_t end = begin;
        while (end < text.size() && is_of_word(text[end])) ++end;
        return std::pair(begin, end - begin);
    };
    const std::string& from = any_text(files, random);
    const auto [at, size] = word_in(from);
    const std::string word = from.substr(at, size);
    std::string& to = any_text(files, random);
    const auto [there, length] = word_in(to);
    to.replace(there, length, word);
}

// One letter of a word of a vehicle, or of a condition, is another.
void slip(std::string& text, Random& random) {
    if (text.empty()) return;
    const std::size_t at = random() % text.size();
    if (text[at] >= 'a' && text[at] <= 'z') text[at] = static_cast<char>('a' + random() % 26);
}

// The same file once more under another name or in another folder, and perhaps with that name.
void copy_a_file(driver::Files& files, Random& random) {
    auto from = files.begin();
    std::advance(from, static_cast<std::ptrdiff_t>(random() % files.size()));
    if (!from->first.ends_with(".yaml") || from->first == "shop.yaml") return;
    const fs::path path = from->first;
    const std::string text = from->second;
    static const std::vector<std::string> folders = {"brakes",   "engine", "catalogue",
                                                     "vehicles", "jobs",   "a-shared/catalogue"};
    const std::string folder = random() % 2 == 0 ? path.parent_path().string() : folders[random() % folders.size()];
    const std::string stem = random() % 2 == 0 ? path.stem().string() : "a-" + path.stem().string();
    std::string copy = text;
    if (random() % 2 == 0)
        if (const std::size_t at = copy.find(": " + path.stem().string()); at != std::string::npos)
            copy.replace(at + 2, path.stem().string().size(), stem);
    files[folder + "/" + stem + ".yaml"] = copy;
}

// A line of one catalogue in another one: an entry that two have.
void lend_a_line(driver::Files& files, Random& random) {
    const std::string from = any_text(files, random, "catalogue/");
    std::string& to = any_text(files, random, "catalogue/");
    const std::size_t begin = from.find('\n', random() % from.size());
    if (begin == std::string::npos) return;
    const std::size_t end = from.find('\n', begin + 1);
    const std::size_t there = to.find('\n', random() % to.size());
    if (end != std::string::npos && there != std::string::npos) to.insert(there, from.substr(begin, end - begin));
}

void put_records(driver::Files& files, Random& random) {
    static const std::vector<std::string> identities = {
        "registration: TX 30 418, frame: OH3-00417", "frame: OH3-00417", "registration: TX 30 418",
        "fleet: 7, registration: TX 30 418",         "frame: OH3-00209", "registration: TX 28 077, frame: OH3-00209",
        "registration: TX 44 903, frame: BT25-09999"};
    static const std::vector<std::string> folders = {"oh3-00417", "tx-30-418", "7", "oh3-00209", "bt25-01183"};
    const std::size_t many = random() % 4;
    for (std::size_t i = 0; i < many; ++i) {
        sample::Visit visit;
        visit.id = "2026-00" + std::to_string(10 + i);
        visit.date = "2026-0" + std::to_string(1 + random() % 9) + "-11";
        visit.meter = std::to_string(9000 + 100 * i) + " km";
        visit.identity = identities[random() % identities.size()];
        visit.read = {"limit: pad-thickness, of: inner-pad, at: left, read: 6.4 mm, minimum: 2.0 mm"};
        visit.found = {"of: front-disc, at: left, found: " + std::string(random() % 2 == 0 ? "good" : "advise")};
        std::string text = sample::text_of(visit);
        if (random() % 8 == 0) lose_a_line(text, random);
        // Mostly where it belongs.
        std::string folder = folders[random() % folders.size()];
        if (random() % 4 != 0) {
            if (const std::size_t at = visit.identity.find("frame: "); at != std::string::npos)
                folder = history::folder_of({{{"frame", {}}, {visit.identity.substr(at + 7), {}}}});
            else
                folder = visit.identity.starts_with("fleet") ? "7" : "tx-30-418";
        }
        files["records/" + folder + "/" + visit.id + ".yaml"] = text;
    }
}

driver::Files spoiled(driver::Files files, Random& random) {
    if (random() % 3 == 0) put_records(files, random);
    const std::size_t many = random() % 4;
    for (std::size_t i = 0; i < many; ++i) switch (random() % 8) {
        case 0:
            lose_a_line(any_text(files, random), random);
            break;
        case 1:
            lose_a_line(any_text(files, random, "vehicles/"), random);
            break;
        case 2:
            change_a_word(files, random);
            break;
        case 3:
            slip(any_text(files, random, "vehicles/"), random);
            break;
        case 4:
            slip(any_text(files, random), random);
            break;
        case 5:
            copy_a_file(files, random);
            break;
        case 6:
            lend_a_line(files, random);
            break;
        default:
            lose_a_line(any_text(files, random, "catalogue/"), random);
            break;
        }
    return files;
}

void put(const std::string& root, const driver::Files& files) {
    fs::remove_all(root);
    for (const auto& [path, text] : files) gates::write(root + "/" + path, text);
}

void hold_against(const std::string& root, const driver::PartOf& of, const driver::Shopful& whole,
                  const driver::Files& files, Tally& tally) {
    const auto part = driver::read_part(root, of);
    std::unique_ptr<driver::Work> of_part;
    if (part != nullptr) {
        const linked::Linked& linked = part->shop->linked;
        const auto at = [](const auto& things, const std::string& name) {
            std::size_t i = 0;
            while (things[i].source->id.value != name) ++i;
            return i;
        };
        of_part = of.job.empty()
                      ? driver::make_blank(*part->shop, linked::ProcedureId(at(linked.procedures, of.procedure)),
                                           linked::VehicleId(at(linked.vehicles, of.vehicle)), as_printed())
                      : driver::make_job(*part->shop, linked::JobId(std::size_t{0}), as_printed());
        if (!of_part->messages.all().empty()) of_part.reset();
    }
    if (of_part == nullptr) {
        ++tally.wholes;
        return;
    }
    ++tally.parts;
    const auto named = [&](const auto& things, const std::string& name) {
        std::optional<std::size_t> found;
        for (std::size_t i = 0; i < things.size(); ++i) {
            const source::Span span = things[i].source->id.span;
            if (things[i].source->id.value == name && fs::path(whole.sources.file(span.file).path).stem() == name)
                found = i;
        }
        REQUIRE(found);
        return *found;
    };
    const auto of_whole =
        of.job.empty() ? driver::make_blank(whole, linked::ProcedureId(named(whole.linked.procedures, of.procedure)),
                                            linked::VehicleId(named(whole.linked.vehicles, of.vehicle)), as_printed())
                       : driver::make_job(whole, linked::JobId(named(whole.linked.jobs, of.job)), as_printed());
    const Outcome wanted = outcome(*of_whole, whole, files, root);
    const Outcome is = outcome(*of_part, *part->shop, part->files, root);
    if (!wanted.rules.empty()) {
        ++tally.refused;
        for (const std::string& rule : wanted.rules) ++tally.besides[rule];
        if (std::getenv("BENCHLEAF_TELL") != nullptr)
            std::cerr << "== " << of.job << ' ' << of.procedure << '\n'
                      << messages::render_human(of_whole->messages, whole.sources, {});
    }
    const bool same = !wanted.any || is.made == wanted.made;
    CHECK_MESSAGE(same, first_difference(is.made, wanted.made));
}

driver::Files demo_with_pictures() {
    auto demo = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    REQUIRE(demo);
    driver::Files files = std::move(demo.value().files);
    files.shelf = nullptr;
    for (const auto& each : fs::directory_iterator(BENCHLEAF_SOURCE_DIR "/procedures/pictures"))
        files["pictures/" + each.path().filename().string()] = gates::read(each.path().string());
    return files;
}

} // namespace

TEST_CASE("what is made of a part of the shop is what is made of the whole") {
    const driver::Files base = demo_with_pictures();
    const char* given = std::getenv("BENCHLEAF_SHOPS");
    const std::size_t many = given != nullptr ? std::stoul(given) : BENCHLEAF_TIME_SLACK == 1 ? 120 : 8;
    const std::string root = gates::scratch("part") + "/shop";
    Random random(20261127); // NOLINT(cert-msc51-cpp): the same run each time
    Tally tally;
    for (std::size_t i = 0; i < many; ++i) {
        CAPTURE(i);
        put(root, i == 0 ? base : spoiled(base, random));
        const auto read = driver::read_shop(root);
        if (!read) continue;
        const auto whole = driver::link_shop(read.value().files);
        for (const linked::Job& each : whole->linked.jobs) {
            const std::string name = each.source->id.value;
            CAPTURE(name);
            if (fs::path(whole->sources.file(each.source->id.span.file).path).stem() == name)
                hold_against(root, {name, "", ""}, *whole, read.value().files, tally);
        }
        for (const std::string procedure : {"front-disc-service", "drum-brake-service"}) {
            CAPTURE(procedure);
            hold_against(root, {"", procedure, "ostrel-haul-300"}, *whole, read.value().files, tally);
        }
        if (i == 0) CHECK(tally.wholes == 0); // of the demo shop itself there always is one
    }
    MESSAGE(tally.parts, " parts, ", tally.wholes, " times read whole, ", tally.refused,
            " parts of which the whole says something");
    // Where a card is made of its own files and the whole shop says something, it is of other files: a catalogue in a folder of procedures, a record in a wrong
    // folder (which `check` tells), a word of a vehicle that nothing on this card asks for.
    const std::set<std::string> of_others = {"ambiguous-name", "misspelt-feature", "record-apart",
                                             "record-in-another-folder"};
    for (const auto& [rule, times] : tally.besides) {
        MESSAGE(rule, ": ", times);
        CHECK(of_others.contains(rule));
    }
    CHECK(tally.parts > tally.wholes / 4);
    CHECK(tally.wholes > 0);
}

// A catalogue that the card does not carry speaks of a nut that it loosens, in whatever way YAML lets it: who overlooks that, prints a card that leaves a
// setting owing, or one of two torques.
TEST_CASE("what is bound to a card's things is found however it is written") {
    const std::string comment = "# " + std::string(5000, '-') + ": }\n";
    const std::string item = "adjustments:\n  odd:\n    name: odd setting\n";
    const std::vector<std::pair<std::string, std::string>> ways = {
        {"uses: [wheels]\n", item + "    disturbed-by: [front-wheel-nut]\n"},
        {"uses: [wheels]\n", item + "    disturbed-by: " + comment + "      [front-wheel-nut]\n"},
        {"uses: [wheels]\n", item + "    disturbed-by:\n      - front-hub " + comment + "      - front-wheel-nut\n"},
        {"uses: [wheels]\n", item + "    disturbed-by\t: [front-wheel-nut]\n"},
        {"uses: [wheels]\n", item + "    \"disturbed-by\" : ['front-wheel-nut']\n"},
        {"uses: " + comment + "  [wheels]\n", item + "    disturbed-by: front-wheel-nut\n"},
        {"uses\t: [wheels]\n", item + "    disturbed-by: front-wheel-nut\n"},
        {"uses: [wheels]\n",
         item + "    while: { adjust: { " + comment + "      front-hub: off, front-wheel-nut: loose } }\n"},
        {"uses: [wheels]\n", item + "    while:\n      adjust: " + comment + "        { front-wheel-nut: loose }\n"},
        {"uses: [wheels]\n",
         item + "    while:\n      adjust:\n        " + comment + "\n        front-wheel-nut: loose\n"},
        // Who forgets to use the other catalogue is told so, and means the same.
        {"", item + "    disturbed-by: front-wheel-nut\n"},
        {"", item + "    disturbed-by: [wheels/front-wheel-nut]\n"},
        {"", item + "    while: { adjust: { front-wheel-nut: loose } }\n"}};
    driver::Files files = demo_with_pictures();
    const std::string root = gates::scratch("bound") + "/shop";
    const std::string changed = "catalogue/final-drive.yaml";
    const driver::PartOf job = {"2026-0412", "", ""};
    put(root, files);
    const std::string before = files.at(changed);
    {
        const auto part = driver::read_part(root, job);
        REQUIRE(part);
        CHECK_FALSE(part->files.contains(changed));
    }
    std::vector<std::string> texts;
    for (const auto& [uses, entry] : ways) texts.push_back(before + "\n" + uses + entry);
    const std::size_t torques = before.find("torques:\n"), behind = before.find("circuits:\n");
    REQUIRE(torques < behind);
    const std::string first =
        "drive-drain-plug: { value: 24 N·m ±10 %, threads: dry, source: \"demo figure, invented\" }";
    const std::string second =
        "front-wheel-nut: { value: 80 N·m ±10 %, threads: dry, source: \"demo figure, invented\" }";
    for (const std::string& given :
         {"torques: { " + first + ",\n  " + second + " }\n\n",
          "torques: # of others, too\n  " + first + "\n" + comment + "  " + second + "\n\n"}) {
        std::string text = before;
        text.replace(torques, behind - torques, given);
        texts.push_back(text);
        texts.push_back(text + "\nuses: [wheels]\n");
    }
    for (std::size_t i = 0; i < texts.size(); ++i) {
        CAPTURE(i);
        const std::string& text = texts[i];
        gates::write(root + "/" + changed, text);
        files[changed] = text;
        const auto whole = driver::link_shop(files);
        std::size_t at = 0;
        while (whole->linked.jobs[at].source->id.value != job.job) ++at;
        const auto wanted = driver::make_job(*whole, linked::JobId(at), as_printed());
        CHECK(wanted->messages.any_error());
        const auto part = driver::read_part(root, job);
        CHECK((part == nullptr || part->files.contains(changed)));
    }
}

// `OH300417` and `OH3-00417` are one frame, and lead to two folders: a card without what was left open there would say that nothing was.
TEST_CASE("a record in the folder of a number that is spelled otherwise is not passed over") {
    driver::Files files = demo_with_pictures();
    const std::string root = gates::scratch("spelled-otherwise") + "/shop";
    const driver::PartOf job = {"2026-0412", "", ""};
    sample::Visit visit;
    visit.id = "2026-0101";
    visit.date = "2026-03-11";
    visit.meter = "9 000 km";
    visit.found = {"of: front-disc, at: left, found: advise"};
    for (const std::string identity :
         {"registration: TX 30 418, frame: OH3-00417", "frame: oh3 00417", "frame: OH300417", "registration: TX30418",
          "registration: tx-30418, frame: OH3.00.417", "frame: OH3-00418"}) {
        CAPTURE(identity);
        visit.identity = identity;
        driver::Files with = files;
        with[sample::path_of(visit)] = sample::text_of(visit);
        // A later one, in the folder that the job leads to.
        sample::Visit later = visit;
        later.id = "2026-0102";
        later.date = "2026-06-11";
        later.identity = "registration: TX 30 418, frame: OH3-00417";
        later.found.clear();
        with[sample::path_of(later)] = sample::text_of(later);
        put(root, with);
        const auto part = driver::read_part(root, job);
        if (fs::path(sample::path_of(visit)).parent_path() == fs::path(sample::path_of(later)).parent_path()) {
            REQUIRE(part);
            CHECK(part->files.contains(sample::path_of(visit)));
        } else if (identity == "frame: OH3-00418") { // another vehicle
            REQUIRE(part);
            CHECK_FALSE(part->files.contains(sample::path_of(visit)));
        } else {
            CHECK(part == nullptr);
        }
    }
}

// What an earlier visit left open is said by the name that the thing has now, in whichever catalogue it is.
TEST_CASE(
    "a thing that is open since an earlier visit has one name on a card, whether the shop is read whole or in part") {
    driver::Files files = demo_with_pictures();
    std::string& job = files["jobs/2026-0412.yaml"];
    job = job.substr(0, job.find("\ndo:")) + "\ndo: [engine-oil-change]\n";
    files.erase("jobs/2026-0429.yaml");
    const std::string root = gates::scratch("open-since") + "/shop";
    sample::Visit visit;
    visit.id = "2026-0101";
    visit.date = "2026-03-11";
    visit.meter = "9 000 km";
    const std::string hoses = "catalogue/brake-fluid.yaml";
    struct {
        std::string of, said, made_of; // the catalogue that nothing else of the card is in
    } const cases[] = {{"brake-hose", "front brake hose", hoses},
                       {"brake-fluid/brake-hose", "front brake hose", hoses},
                       {"brake-fluid/old-hose", "brake-fluid/old-hose", hoses},
                       {"old-brakes/brake-hose", "old-brakes/brake-hose", ""}};
    for (const auto& each : cases) {
        CAPTURE(each.of);
        visit.found = {"of: " + each.of + ", at: left, found: advise"};
        driver::Files with = files;
        with[sample::path_of(visit)] = sample::text_of(visit);
        put(root, with);
        const auto whole = driver::link_shop(with);
        Tally tally;
        hold_against(root, {"2026-0412", "", ""}, *whole, with, tally);
        CHECK(tally.parts == 1);
        CHECK(tally.refused == 0);
        const auto part = driver::read_part(root, {"2026-0412", "", ""});
        REQUIRE(part);
        CHECK(part->files.contains(hoses) == !each.made_of.empty());
        const auto work = driver::make_job(*part->shop, linked::JobId(std::size_t{0}), as_printed());
        const std::string made = all_of(*work, *part->shop, part->files, root);
        CHECK(made.find("• " + each.said + ", left: advise") != std::string::npos);
    }
}

// A number that went from one vehicle to another, and a record that tells no other one: whose it is only all records together tell.
TEST_CASE("a record without a frame is nobody's where it could be of two, on a card of one job as on all") {
    driver::Files files = demo_with_pictures();
    std::vector<std::string> paths;
    for (const auto& [id, date, identity] : std::vector<std::array<std::string, 3>>{
             {"2026-0101", "2026-02-11", "registration: TX 30 418, frame: ZZ9-1"},
             {"2026-0119", "2026-03-11", "registration: TX 30 418, frame: OH3-00417"},
             {"2026-0118", "2026-04-12", "registration: TX 30 418"}}) {
        sample::Visit visit;
        visit.id = id;
        visit.date = date;
        visit.meter = "8 000 km";
        visit.identity = identity;
        visit.found = {"of: front-disc, at: left, found: advise"};
        paths.push_back(sample::path_of(visit));
        files[paths.back()] = sample::text_of(visit);
    }
    const std::string root = gates::scratch("of-two") + "/shop";
    put(root, files);
    CHECK(driver::read_part(root, {"2026-0412", "", ""}) == nullptr);
    const auto open_on = [&](const driver::Files& made_of) {
        const auto whole = driver::link_shop(made_of);
        std::size_t at = 0;
        while (whole->linked.jobs[at].source->id.value != "2026-0412") ++at;
        const auto work = driver::make_job(*whole, linked::JobId(at), as_printed());
        CHECK_FALSE(work->messages.any_error());
        const std::string all = all_of(*work, *whole, made_of, root);
        // What the card is made of tells the same to whoever has nothing else.
        for (const std::string& path : paths) {
            CAPTURE(path);
            CHECK((!made_of.contains(path) || all.find("/" + path + "\n") != std::string::npos));
        }
        return std::pair(all.find("8 000 km · 2026-0118") != std::string::npos,
                         all.find("/records\n") != std::string::npos);
    };
    CHECK(open_on(files) == std::pair(false, true));
    files.erase(paths.front());
    put(root, files);
    CHECK(open_on(files) == std::pair(true, true));
}

TEST_CASE("a folder that is nearly called as one for a kind of files has the shop read whole") {
    const driver::Files files = demo_with_pictures();
    const std::string root = gates::scratch("near-folder") + "/shop";
    for (const std::string folder : {"brakes", "catalogues", "Catalogue", "catalog", "brakes/catalogues", "record"}) {
        CAPTURE(folder);
        driver::Files with = files;
        with[folder + "/odd.yaml"] = "catalogue: odd\n";
        put(root, with);
        CHECK((driver::read_part(root, {"2026-0412", "", ""}) != nullptr) == (folder == "brakes"));
    }
}
