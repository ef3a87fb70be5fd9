// The rules of layout over the cards that nobody lays out by hand: every demo job, and shops written here that each go to an edge of what
// paper can hold. Each is set in every label language, on every paper, as the cards of a job with their cover sheet and as a blank card.
//
// BENCHLEAF_LOOK=FOLDER writes each as PDF, to be looked at.
#include "base/text.h"
#include "driver/pipeline.h"
#include "labels/labels.h"
#include "messages/render.h"
#include "pages/check.h"
#include "properties/layout_rules.h"
#include "properties/sample_card.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <array>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>

using namespace benchleaf;
using namespace benchleaf::pages;
using namespace benchleaf::layout_rules;

namespace {

struct Count {
    std::size_t cards = 0, covers = 0, pages = 0, boxes = 0, refused = 0, steps = 0; // steps: of the longest card
};

void look_at(const std::string& name, const base::Result<std::string>& pdf) {
    const char* folder = std::getenv("BENCHLEAF_LOOK");
    if (folder == nullptr) return;
    REQUIRE(pdf);
    std::filesystem::create_directories(folder);
    std::ofstream(fmt::format("{}/{}.pdf", folder, name), std::ios::binary) << pdf.value();
}

// Every rule over what a work came to.
void check_work(const driver::Shopful& shop, const driver::Work& work, const std::string& called, Count& count) {
    const std::string name = called.empty() ? work.name : called;
    CAPTURE(name);
    INFO(messages::render_human(work.messages, shop.sources, {}));
    if (work.cards.empty()) {
        MESSAGE(name);
        return;
    }
    const auto counted = [&](const Pages& all) {
        count.pages += all.pages.size();
        walk(all, [&](const Box&, const Above&) { ++count.boxes; });
    };
    for (const driver::PagedCard& each : work.cards) {
        CAPTURE(each.card.file_stem);
        CAPTURE(each.card.language);
        CAPTURE(pages::name(each.pages.paper));
        check_all(each.card, each.pages);
        ++count.cards;
        count.steps = std::max(count.steps, rows_of(each.card).size());
        counted(each.pages);
        look_at(
            fmt::format("{}-{}-{}-{}", name, each.card.file_stem, each.card.language, pages::name(each.pages.paper)),
            driver::pdf_of(each));
    }
    if (!work.cover) return;
    CAPTURE(work.cover->cover.language);
    CAPTURE(pages::name(work.cover->pages.paper));
    CHECK_NONE(cover_faults(work.cover->pages));
    ++count.covers;
    counted(work.cover->pages);
    look_at(fmt::format("{}-cover-{}-{}", name, work.cover->cover.language, pages::name(work.cover->pages.paper)),
            driver::pdf_of(*work.cover));
}

// A word of sixty letters that begins with what it is.
std::string long_word(std::string word) {
    static constexpr std::string_view rest = "haltefederschraubenmutternschluesselverlaengerungsgewindebohrer";
    for (std::size_t at = 0; base::code_points(word) < 60; ++at) word += rest[at];
    return word;
}

// A shop of one vehicle with what a test says; the rest is as short as it may be.
struct Written {
    std::string name;
    std::string shop;      // keys of shop.yaml beside its name
    std::string catalogue; // all of it under its head
    std::string vehicle;   // keys beside its name
    std::string procedure; // keys beside title and steps
    std::string steps;
    std::string job; // keys beside what it must have
    std::string shop_name = "Upper Mill";
    std::string vehicle_name = "Fallow 2";
    std::string title = "The work";
    std::string registration = "UM 12 345";
    bool a5_may_be_too_small = false; // then what does not fit is refused by name

    driver::Files files() const {
        const std::string uses = catalogue.empty() ? "" : "uses: [all]\n";
        driver::Files made;
        made["shop.yaml"] = fmt::format("shop: upper-mill\nname: {}\n{}", shop_name, shop);
        if (!catalogue.empty()) made["catalogue/all.yaml"] = "catalogue: all\n" + catalogue;
        made["vehicles/fallow-2.yaml"] = fmt::format("vehicle: fallow-2\nname: {}\n{}", vehicle_name, vehicle);
        made["work.yaml"] =
            fmt::format("procedure: work\ntitle: {}\nrevision: 1\n{}{}steps:\n{}", title, uses, procedure, steps);
        made["jobs/2026-0001.yaml"] =
            fmt::format("job: 2026-0001\nvehicle: fallow-2\nidentity: {{ registration: {} }}\nmeter: 12 km\n"
                        "date: 2026-11-26\n{}do: [work]\n",
                        registration, job);
        return made;
    }
};

const std::string signs = "signs: [AB, CD]\nsecond-check: other\nwrenches:\n"
                          "  b: { name: wrench B, range: 5..60 N·m, accuracy: 4 %, length: 330 mm, serial: UM-1, "
                          "calibrated-until: 2027-03-01 }\n";

// Whatever does not fit is named, and nothing is printed.
void check_refused(const driver::Shopful& shop, const driver::Work& work, Count& count) {
    INFO(messages::render_human(work.messages, shop.sources, {}));
    ++count.refused;
    CHECK(work.messages.any_error());
    CHECK(!work.cover);
    for (const auto& message : work.messages.all()) {
        if (message.rule->level != messages::Level::error) continue;
        CHECK(message.rule == &checks::step_too_tall.rule);
        CHECK((message.text.starts_with("step ") || message.text.starts_with("the close-out of card ")));
        CHECK(message.text.ends_with(" mm taller than a page of a5 paper"));
        CHECK(!message.help.empty());
    }
}

// The sanitizers look at the longest words alone: that is slow, and the same code sets the others.
constexpr bool some = BENCHLEAF_TIME_SLACK > 5;
std::vector<labels::Labels> languages() {
    std::vector<labels::Labels> all(labels::languages().begin(), labels::languages().end());
    if (some) std::erase_if(all, [](const labels::Labels& words) { return words.language != "de"; });
    return all;
}

// In every language and on every paper, as a job and as a blank.
void check_everywhere(const Written& written, Count& count) {
    const auto shop = driver::link_shop(written.files());
    INFO(messages::render_human(shop->messages, shop->sources, {}));
    REQUIRE(!shop->messages.any_error());
    for (const labels::Labels& words : languages())
        for (const Paper paper : papers) {
            driver::PrintOptions options;
            options.paper = paper;
            options.language = words.language;
            for (const auto& work :
                 {driver::make_job(*shop, linked::JobId(0), options),
                  driver::make_blank(*shop, linked::ProcedureId(0), linked::VehicleId(0), options)}) {
                if (work->cards.empty() && paper == Paper::a5 && written.a5_may_be_too_small)
                    check_refused(*shop, *work, count);
                else
                    check_work(*shop, *work, written.name, count);
            }
        }
}

void tell(const std::string& what, const Count& count) {
    MESSAGE(fmt::format("{}: {} cards of up to {} steps, {} cover sheets, {} pages, {} boxes, {} refused", what,
                        count.cards, count.steps, count.covers, count.pages, count.boxes, count.refused));
}

Written one_step() {
    Written made;
    made.name = "one-step";
    made.steps = "  - Wash the vehicle.\n";
    return made;
}

// All that a step may be, over and over.
Written three_hundred_steps() {
    Written made;
    made.name = "three-hundred-steps";
    made.shop = signs;
    made.procedure = "each: side\n";
    std::string fasteners, torques, limits, parts;
    const auto add = [&](const std::string& text) { made.steps += text; };
    for (int i = 1; i <= 30; ++i) { // ten steps each
        parts += fmt::format("  plate-{0}: {{ name: plate {0}, system: frame, held-by: [bolt-{0}], each: side }}\n", i);
        fasteners +=
            fmt::format("  bolt-{0}: {{ name: bolt {0}, count: {1}, thread: M8x1.25, class: \"8.8\", head: 13 mm "
                        "hex, critical: {2}, each: side{3} }}\n",
                        i, 1 + i % 6, i % 4 == 0, i % 6 > 1 ? ", pattern: star" : "");
        torques += fmt::format("  bolt-{}: {{ value: {} N·m ±10 %, threads: dry, source: measured at Upper Mill }}\n",
                               i, 15 + i % 9);
        limits += fmt::format("  gap-{0}: {{ of: plate-{0}, within: {1}..{2} mm, reads-to: 0.1 mm, source: measured at "
                              "Upper Mill }}\n",
                              i, 2 + i, 3 + i);
        if (i % 5 == 1) made.steps += fmt::format("  - section: Stage {}\n", i / 5 + 1);
        add(fmt::format("  - measure: gap-{}\n    tool: feeler\n", i));
        add(fmt::format("  - decide: gap-{}\n    if-not:\n", i));
        add(fmt::format("      - record: Where plate {} rubs\n", i));
        add(fmt::format("  - slacken: bolt-{}\n", i));
        add(fmt::format("  - remove: bolt-{0}\n    why: The plate is slotted, and a bolt left in bends it.\n", i));
        add(fmt::format("  - remove: plate-{0}\n", i));
        add(fmt::format("  - inspect: plate-{0}\n    look-for: Cracks round the holes.\n", i));
        add(fmt::format("  - fit: plate-{0}\n", i));
        add(fmt::format("  - fit: bolt-{0}\n", i));
        add(fmt::format("  - torque: bolt-{0}\n", i));
    }
    made.catalogue = "tools:\n  feeler: feeler gauge\nparts:\n" + parts + "fasteners:\n" + fasteners + "torques:\n" +
                     torques + "limits:\n" + limits;
    return made;
}

// Words of sixty letters wherever somebody may write a word; `head`: also in what stands on every page.
Written long_words(bool head) {
    const auto& w = long_word;
    Written made;
    made.name = head ? "long-words" : "long-words-in-the-work";
    made.a5_may_be_too_small = true;
    if (head) {
        made.vehicle_name = w("fahrzeug");
        made.title = fmt::format("{} {}", w("titel"), w("unter"));
        made.registration = w("kennzeichen");
    }
    made.shop_name = w("werk");
    made.shop =
        fmt::format("foot: {}\nsigns: [{}, AB]\nsecond-check: other\nwrenches:\n  b: {{ name: {}, range: 5..60 N·m, "
                    "accuracy: 4 %, length: 330 mm, serial: {}, calibrated-until: 2027-03-01 }}\n",
                    w("fuss"), w("name"), w("dreher"), w("nummer"));
    made.job =
        fmt::format("customer: {}\nnote: {} {}\nnext-service: +6 000 km\n", w("kunde"), w("quietschen"), w("ziehen"));
    made.procedure =
        fmt::format("each: side\nprotection: [{}]\ncautions: [whole]\nwhy: {}\nstarts-with: {{ stand: up }}\n"
                    "ends-with: {{ stand: up }}\n",
                    w("maske"), w("grund"));
    made.catalogue = fmt::format(
        R"(parts:
  plate: {{ name: {}, system: brake, held-by: [bolt], surfaces: {{ face: friction, back: contact }}, renew-with: [seal], each: side }}
  seal: {{ name: {}, reuse: never, each: side }}
fasteners:
  bolt: {{ name: {}, count: 4, pattern: star, passes: 2, thread: M8x1.25, class: "8.8", head: {}, threadlock: locker,
          critical: true, each: side, recheck-after: 50 km }}
torques:
  bolt: {{ value: 23 N·m ±10 %, threads: thread-locked, source: {} }}
limits:
  gap: {{ name: {}, of: plate, new: 9.0 mm, minimum: 2.0 mm, reads-to: 0.1 mm, uncertainty: 0.1 mm, wears-with: km, source: {} }}
settings:
  stand: {{ name: {}, states: [down, up], rest: any }}
circuits:
  line: {{ name: {}, sort: hydraulic, fluid: juice }}
consumables:
  locker: {{ name: {}, sort: thread-locker, sets-in: 20 min, full-in: 24 h, unit: drop }}
  paste: {{ name: {}, sort: lubricant, unit: g }}
  juice: {{ name: {}, sort: fluid, unit: mL }}
  cleaner: {{ name: {}, sort: solvent }}
tools:
  gauge: {{ name: {}, cautions: [sharp] }}
cautions:
  whole: {{ level: danger, hazard: {}, avoid: {} }}
  sharp: {{ level: caution, hazard: {}, avoid: {} }}
)",
        w("platte"), w("dichtung"), w("bolzen"), w("steck"), w("quelle"), w("spalt"), w("herkunft"), w("ständer"),
        w("leitung"), w("sicher"), w("paste"), w("saft"), w("rein"), w("lehre"), w("gefahr"), w("vermeide"),
        w("scharf"), w("handschuh"));
    made.steps =
        fmt::format(R"(  - section: {0}
    why: {1}
  - say: Turn the {2} {3}.
    why: {4} {5}
    caution: {{ level: notice, hazard: {6}, avoid: {7} }}
  - measure: gap
    tool: gauge
  - slacken: bolt
  - remove: [bolt, plate, seal]
  - inspect: plate
    look-for: {8}, {9}
    id: look
  - decide: [gap, look]
    id: good
    if-not:
      - renew: plate
      - record: {10}
      - ask: Is it {11}?
        if-so:
          - stop: {12}
  - clean: [plate, bolt]
    with: [cleaner, gauge]
  - apply: paste
    to: plate
    surface: back
    amount: 2 g
  - fit: [plate, seal]
  - apply: locker
    to: bolt
    amount: 2 drop
  - fit: bolt
  - torque: bolt
  - section: {13}
    once: true
  - say: Pump the {14}.
    id: pump
  - again:
      from: pump
      until: Is it {15}?
      at-most: 3
      else:
        - stop: {16}
)",
                    w("abschnitt"), w("weil"), w("hebel"), w("griff"), w("damit"), w("sonst"), w("achtung"), w("meide"),
                    w("risse"), w("öl"), w("notiz"), w("frage"), w("halt"), w("ende"), w("pumpe"), w("klar"), w("aus"));
    return made;
}

// All on one step, of every level; `brief`: in as few words as will do.
Written ten_cautions(bool brief) {
    Written made;
    made.name = brief ? "ten-brief-cautions" : "ten-cautions";
    made.a5_may_be_too_small = !brief;
    made.procedure = "each: side\n";
    made.steps = "  - say: Drain the tank into the drum.\n    caution:\n";
    static constexpr std::array levels = {"danger", "warning", "caution", "notice"};
    for (std::size_t i = 0; i < 10; ++i)
        made.steps +=
            fmt::format("      - {{ level: {}, hazard: \"Tank {} burns{}.\", avoid: \"Keep {} away.\" }}\n",
                        levels[i % levels.size()], i + 1, brief ? "" : " at any spark, and so does its vapour",
                        brief ? "sparks" : "lamps, hand tools of steel and all that glows or sparks");
    made.steps += "  - Close the drum.\n";
    return made;
}

// Three hundred of each thing that is fetched before the work.
Written long_lists() {
    Written made;
    made.name = "long-lists";
    made.job = "customer: R. Alder\n"; // and so on a cover sheet
    made.shop = signs;
    std::string parts, consumables, tools, together;
    for (int i = 1; i <= 300; ++i) {
        tools += fmt::format("  tool-{0}: puller for bearing {0}\n", i);
        consumables += fmt::format("  stuff-{0}: {{ name: cleaner for tray {0}, sort: cleaner, unit: mL }}\n", i);
        parts += fmt::format("  seal-{0}: {{ name: seal {0}, reuse: never }}\n", i);
    }
    for (int i = 1; i <= 300; i += 20) {
        std::string with, seals;
        for (int k = i; k < i + 20; ++k) {
            with += fmt::format("{}tool-{}, stuff-{}", k == i ? "" : ", ", k, k);
            seals += fmt::format("{}seal-{}", k == i ? "" : ", ", k);
        }
        made.steps +=
            fmt::format("  - remove: [{0}]\n  - clean: [{0}]\n    with: [{1}]\n  - fit: [{0}]\n", seals, with);
    }
    made.catalogue = "parts:\n" + parts + "consumables:\n" + consumables + "tools:\n" + tools;
    return made;
}

// What is worked at each of so many cylinders, each with everything that has a column.
Written cylinders(int many) {
    Written made;
    made.name = fmt::format("{}-cylinders", many);
    made.a5_may_be_too_small = many > 4;
    made.shop = signs;
    std::string values;
    for (int i = 1; i <= many; ++i) values += fmt::format("{}{}", i == 1 ? "" : ", ", i);
    made.vehicle = fmt::format("axes: {{ cylinder: [{}] }}\n", values);
    made.procedure = "each: cylinder\n";
    made.catalogue = R"(parts:
  cover: { name: valve cover, system: engine, held-by: [cover-bolt], each: cylinder }
fasteners:
  cover-bolt: { name: cover bolt, count: 4, pattern: star, passes: 2, thread: M8x1.25, class: "8.8", head: 12 mm hex, critical: true, each: cylinder }
torques:
  cover-bolt: { value: 16 N·m ±10 %, threads: dry, source: measured at Upper Mill }
limits:
  gap: { name: valve gap, of: cover, within: 0.10..0.20 mm, reads-to: 0.01 mm, points: 2, source: measured at Upper Mill }
tools:
  feeler: feeler gauge
)";
    made.steps = R"(  - section: Open
  - slacken: cover-bolt
  - remove: [cover-bolt, cover]
  - inspect: cover
    look-for: Cracks, hardened rubber.
    id: look
  - measure: gap
    tool: feeler
    id: gaps
  - say: Turn the screw until the feeler drags.
    id: turn
  - measure: gap
    tool: feeler
  - again:
      from: turn
      until: gap
      at-most: 3
      else:
        - record: Which valve does not hold its gap
  - decide: look
    if-not:
      - say: Press a new rubber into the cover.
        second-check: true
  - section: Close
  - fit: [cover, cover-bolt]
  - torque: cover-bolt
    record: value
  - section: Prove
    once: true
  - Wipe the engine dry.
)";
    return made;
}

} // namespace

TEST_CASE("the demo jobs keep every rule in every language, on every paper") {
    const auto read = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    REQUIRE(read);
    const auto shop = driver::link_shop(read.value().files);
    Count count;
    for (std::size_t job = 0; job < shop->linked.jobs.size(); ++job)
        for (const labels::Labels& words : languages())
            for (const Paper paper : papers) {
                driver::PrintOptions options;
                options.paper = paper;
                options.language = words.language;
                check_work(*shop, *driver::make_job(*shop, linked::JobId(job), options), "", count);
            }
    tell("demo jobs", count);
    CHECK(count.cards > (some ? 100 : 400));
}

TEST_CASE("a list that goes over the page has its head again") {
    const auto shop = driver::link_shop(long_lists().files());
    for (const Paper paper : papers) {
        driver::PrintOptions options;
        options.paper = paper;
        const auto work = driver::make_job(*shop, linked::JobId(0), options);
        REQUIRE(work->cards.size() == 1);
        std::size_t again = 0;
        const Pages& all = work->cards.front().pages;
        for (std::size_t i = 1; i < all.pages.size(); ++i) {
            const Box* body = body_of(all.pages[i]);
            if (body->children.front().role != Role::before_start) continue;
            const Box& first = body->children.front().children.front();
            CHECK(first.role == Role::list_head);
            again += words_in(first).find("(continued)") != std::string::npos ? 1 : 0;
        }
        CHECK(again >= 5);
        // Nothing is lost on the way.
        std::string words;
        for (const Page& page : all.pages) words += words_in(*body_of(page));
        for (int i = 1; i <= 300; ++i)
            for (const char* what : {"puller for bearing", "cleaner for tray", "seal"})
                CHECK_MESSAGE(words.find(fmt::format("{} {} ", what, i)) != std::string::npos, what, " ", i);
    }
}

TEST_CASE("shops at the edge of what paper holds keep every rule in every language, on every paper, blank and not") {
    for (const Written& written : {one_step(), three_hundred_steps(), long_words(false), long_words(true),
                                   ten_cautions(true), ten_cautions(false), long_lists(), cylinders(4), cylinders(8)}) {
        Count count;
        check_everywhere(written, count);
        tell(written.name, count);
        if (written.name == "one-step") CHECK(count.steps == 1);
        if (written.name == "three-hundred-steps") CHECK(count.steps == 300);
        CHECK(count.cards + count.refused == 2 * languages().size() * std::size(papers));
    }
}

namespace {

// A row of so many lines with a picture of that shape, which is 50 mm long at any place: its height can be had to 1/1000 pt.
constexpr Length long_side = mm(50);
card::Card tall_card(bool stop, int lines, int own, std::uint32_t across, std::uint32_t down) {
    card::Card card;
    card.language = "en";
    card.head = sample::head();
    card.words = sample::words();
    card.foot.text = "Follow the maker's service manual.";
    for (int i = 0; i < own; ++i) card.foot.own += "Upper Mill\n"; // another height of the page to try
    card.file_stem = "2026-0412-1-tall";
    card::Section section;
    section.columns = {""};
    std::string text = "Turn the nut.";
    for (int i = 1; i < lines; ++i) text += "\nTurn the nut.";
    std::uint32_t number = 0;
    decltype(card::Row::what) what = sample::step(text);
    if (stop) what = card::Stop{"STOP", text};
    card::Row& row = sample::add_row(section, number, std::move(what), {!stop});
    row.picture = sample::picture(across, down);
    card.sections.push_back(std::move(section));
    return card;
}

// What is left of the page under the row; nothing where it is not alone on its page.
std::optional<Length> rest_under_row(const Pages& all) {
    for (const Page& page : all.pages) {
        const Box* body = body_of(page);
        if (body->children.size() != 1) continue;
        const Box* row = &body->children.front();
        while (row->role == Role::section) row = &row->children.front();
        if (is_row(row->role)) return body->at.bottom() - row->at.bottom();
    }
    return std::nullopt;
}

// A shape that is as tall as that where its long side is 50 mm, in less than 296 dots so that it is not finer than it must be.
std::optional<std::pair<std::uint32_t, std::uint32_t>> shape_of(Length height) {
    for (std::uint32_t across = 1; across < 296; ++across)
        for (std::uint32_t down = 1; down <= across; ++down)
            if (static_cast<std::int64_t>(long_side) * down / across == height) return std::pair{across, down};
    return std::nullopt;
}

} // namespace

TEST_CASE("a step exactly as tall as its page is set, one a hair taller is refused by name") {
    // On the larger papers a step puts its picture beside its words before it is too tall; a STOP has it under them everywhere.
    for (const auto& each :
         {std::pair{Paper::a5, false}, {Paper::a5, true}, {Paper::a4, true}, {Paper::letter, true}}) {
        const Paper paper = each.first;
        const bool stop = each.second;
        CAPTURE(name(paper));
        bool exact = false;
        for (int at = 0; at < 50 * 20 && !exact; ++at) {
            const int own = at / 50, lines = 10 + at % 50;
            messages::Messages said;
            constexpr std::uint32_t across = 200, down = 20;
            const auto shorter = lay_out(tall_card(stop, lines, own, across, down), paper, said);
            const auto rest = shorter ? rest_under_row(*shorter) : std::nullopt;
            if (!rest) continue;
            const Length height = long_side * static_cast<Length>(down) / static_cast<Length>(across) + *rest;
            const auto shape = shape_of(height);
            auto taller = shape_of(height + 1);
            for (Length more = 2; more <= pt(0.01) && !taller; ++more) taller = shape_of(height + more);
            if (height > pt(85) || !shape || !taller) continue; // no picture is made smaller than that
            exact = true;
            said = {};
            const auto full = lay_out(tall_card(stop, lines, own, shape->first, shape->second), paper, said);
            REQUIRE(full);
            CHECK(rest_under_row(*full) == 0);
            CHECK_NONE(faults_of(*full));
            CHECK(said.all().empty());
            // A hundredth of a point more, at the most.
            CHECK_FALSE(lay_out(tall_card(stop, lines, own, taller->first, taller->second), paper, said));
            REQUIRE(said.all().size() == 1);
            CHECK(said.all()[0].rule == &checks::step_too_tall.rule);
            CHECK(said.all()[0].text ==
                  fmt::format("step 1 of card 2026-0412-1-tall is 1 mm taller than a page of {} paper", name(paper)));
        }
        CHECK(exact);
    }
}
