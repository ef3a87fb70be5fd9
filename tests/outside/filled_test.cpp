// A booklet is filled in by other people's programs and saved, and what was written comes back from the file: by poppler, as Debian's
// document viewers do it, by pdf.js, as a browser does, by mupdf, and by programs that write no more than the bare value, or that append to the file.
#include "driver/pipeline.h"
#include "driver/shop_files.h"
#include "filled/filled.h"
#include "outside/demo.h"
#include "outside/tools.h"
#include "pages/field_words.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <ctime>
#include <map>
#include <memory>
#include <optional>
#include <random>
#include <set>

using namespace benchleaf;

namespace {

using outside::files;
using outside::shop;

using Boxes = std::map<std::string, std::string, std::less<>>;

const std::string tests = BENCHLEAF_SOURCE_DIR "/tests/outside/";

std::string folder() {
    return outside::scratch("filled");
}

struct Printed {
    std::string file, bytes, sources, title;
    std::set<std::string> names; // of the boxes on its pages
    std::set<std::string> ticks;
};

void gather(const pages::Box& box, Printed& into) {
    if (pages::is_written_in(box.role)) {
        into.names.insert(box.name);
        if (box.role == pages::Role::tick) into.ticks.insert(box.name);
    }
    for (const pages::Box& child : box.children) gather(child, into);
}

const Printed& booklet() {
    static const Printed made = [] {
        for (std::size_t job = 0; job < shop().linked.jobs.size(); ++job) {
            if (shop().linked.jobs[job].source->id.value != "2026-0412") continue;
            const auto work = driver::make_job(shop(), linked::JobId(job), {});
            Printed one;
            one.sources = driver::sources_of(shop(), *work, files());
            auto painted = driver::booklet_of(*work, {true, one.sources});
            if (!painted) FAIL(painted.failure().what);
            one.bytes = std::move(painted.value());
            one.file = folder() + "/2026-0412.pdf";
            outside::write(one.file, one.bytes);
            return one;
        }
        FAIL("no such job");
        return Printed{};
    }();
    return made;
}

// A card with no job, which has boxes in its head that stand on every page.
const Printed& blank() {
    static const Printed made = [] {
        for (std::size_t p = 0; p < shop().linked.procedures.size(); ++p)
            for (std::size_t v = 0; v < shop().linked.vehicles.size(); ++v) {
                const auto work = driver::make_blank(shop(), linked::ProcedureId(p), linked::VehicleId(v), {});
                if (work->cards.empty() || work->cards.front().pages.pages.size() < 3) continue;
                Printed one;
                for (const pages::Page& page : work->cards.front().pages.pages)
                    for (const pages::Box& box : page.boxes) gather(box, one);
                one.sources = driver::sources_of(shop(), *work, files());
                auto painted = driver::pdf_of(work->cards.front(), {true, one.sources});
                if (!painted) FAIL(painted.failure().what);
                one.bytes = std::move(painted.value());
                one.file = folder() + "/blank.pdf";
                outside::write(one.file, one.bytes);
                return one;
            }
        FAIL("no such card");
        return Printed{};
    }();
    return made;
}

filled::Filled read(const std::string& bytes) {
    auto made = filled::read(bytes);
    if (!made) FAIL(made.failure().what);
    return std::move(made.value());
}

std::string refusal(const std::string& bytes) {
    const auto made = filled::read(bytes);
    return made ? "none" : made.failure().what;
}

// Takes any number of files to fill in: for each the file, the file to write, and the texts.
struct Program {
    const char* name;
    std::string command;
};
const Program programs[] = {
    {"poppler", "/usr/bin/python3 " + tests + "form.py fill"},
    {"pdf.js", "node " + tests + "form.js"},
    {"mupdf", "mutool run " + tests + "filled.js whole"},
    {"mupdf, appending", "mutool run " + tests + "filled.js incremental"},
    {"pikepdf, values alone", "/usr/bin/python3 " + tests + "filled.py values"},
    {"values alone, appended", "/usr/bin/python3 " + tests + "filled.py update"},
    {"pikepdf, ticks that are only seen", "/usr/bin/python3 " + tests + "filled.py looks"},
    {"pikepdf, in each widget", "/usr/bin/python3 " + tests + "filled.py widgets"},
};

struct ToFill {
    std::string file;
    Boxes boxes;
};

// What was saved of each. The program is started once for all: starting it is most of its work.
std::vector<std::string> fill(const Program& program, const std::vector<ToFill>& files) {
    static int saved = 0;
    std::vector<std::string> made;
    std::string command = program.command;
    for (const ToFill& each : files) {
        std::string lines;
        for (const auto& [name, text] : each.boxes) lines += name + "\t" + (text == "x" ? "Yes" : text) + "\n";
        made.push_back(fmt::format("{}/saved-{}.pdf", folder(), saved++));
        outside::write(made.back() + ".texts", lines);
        command += fmt::format(" {0} {1} {1}.texts", each.file, made.back());
    }
    const auto ran = outside::run(command);
    INFO(ran.out);
    REQUIRE(ran.status == 0);
    return made;
}

const Boxes written = {
    {"card-1/findings/also/1", "Σφίξε τον κοχλία"},
    {"card-1/findings/also/2", "Съешь ещё Ґанок (№ 7) \\ “x”"},
    {"card-2/step-5/reading-1/1", "4.40 mm"},
    {"card-2/step-5/reading-1/2", "≥ 4.4"},
    {"card-2/step-7/reading-1/1/1", "12 µm"},
    {"card-2/step-7/reading-1/1/2", "0,03"},
    {"card-2/step-5/tick/1", "x"},
    {"card-1/step-5/tick/2", "x"},
    {"card-3/findings/also/1", "12\u00A0460\u202Fkm – Łódź € ½ ě ẞ"},
    {"card-4/findings/also/9", "Left pad worn to the mark, right good; hose dry, not a leak seen"},
};

// The three files that each of the programs is asked for.
struct Saved {
    std::string booklet; // as `written`
    std::string a_few;   // a booklet, too
    std::string blank;   // with every tick
};
Boxes all_ticks() {
    Boxes all;
    for (const std::string& tick : blank().ticks) all.emplace(tick, "x");
    all.emplace("head/1", "7-0815");
    return all;
}
const Saved& saved_by(const Program& program) {
    static std::map<std::string, Saved> made;
    const auto known = made.find(program.name);
    if (known != made.end()) return known->second;
    const auto saved = fill(program, {{booklet().file, written},
                                      {booklet().file,
                                       {{"card-2/step-5/reading-1/1", "4.40 mm"},
                                        {"card-2/step-7/reading-1/1/1", "12 µm"},
                                        {"card-1/step-5/tick/2", "x"}}},
                                      {blank().file, all_ticks()}});
    return made[program.name] = {saved[0], saved[1], saved[2]};
}

// Of processor, so that what else the machine does counts for nothing.
template <class Work>
double seconds(const Work& work) {
    const std::clock_t start = std::clock();
    work();
    return static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
}

// The booklet with some boxes filled in: all its objects lie open in the file, or most are packed and what changed is appended.
const Boxes few = {
    {"card-2/step-5/reading-1/1", "4.40 mm"}, {"card-2/step-5/reading-1/2", "≥ 4.4"}, {"card-2/step-5/tick/1", "x"}};

const std::string& filled_booklet(bool loose) {
    static const std::string closed = outside::read(fill(programs[5], {{booklet().file, few}}).front());
    static const std::string open = [] {
        const std::string to = folder() + "/loose.pdf";
        const auto ran = outside::run(fmt::format("/usr/bin/python3 {}filled.py loose {} {}", tests,
                                                  fill(programs[4], {{booklet().file, few}}).front(), to));
        INFO(ran.out);
        REQUIRE(ran.status == 0);
        return outside::read(to);
    }();
    return loose ? open : closed;
}

// Nothing where it is refused.
std::optional<Boxes> left_of(const std::string& bytes) {
    auto made = filled::read(bytes);
    if (!made) return std::nullopt;
    return std::move(made.value().boxes);
}

} // namespace

TEST_CASE("what was written into a booklet by other people's programs comes back, and nothing else") {
    const Printed& card = booklet();
    const filled::Filled empty = read(card.bytes);
    CHECK(empty.boxes.empty());
    CHECK(empty.fields.size() == 380);
    for (const auto& each : written)
        CHECK_MESSAGE(std::count(empty.fields.begin(), empty.fields.end(), each.first) == 1, each.first);
    for (const Program& program : programs) {
        CAPTURE(std::string(program.name));
        const filled::Filled back = read(outside::read(saved_by(program).booklet));
        for (const auto& each : written) {
            CAPTURE(each.first);
            const auto found = back.boxes.find(each.first);
            CHECK((found == back.boxes.end() ? "nothing" : found->second) == each.second);
        }
        CHECK(back.boxes.size() == written.size());
        CHECK(back.fields == empty.fields);
        CHECK(back.source_name == "2026-0412.sources.yaml");
        CHECK((back.source == card.sources));
        CHECK(back.title == "job 2026-0412");
    }
}

TEST_CASE("what one program wrote another changes, takes out and adds to") {
    for (const Program& second : {programs[1], programs[3]}) {
        std::vector<ToFill> once;
        for (const Program& first : programs)
            once.push_back({saved_by(first).a_few,
                            {{"card-2/step-5/reading-1/1", "4.10 mm"},
                             {"card-2/step-7/reading-1/1/1", ""},
                             {"card-2/step-5/tick/1", "x"}}});
        const std::vector<std::string> twice = fill(second, once);
        for (std::size_t i = 0; i < twice.size(); ++i) {
            CAPTURE(std::string(programs[i].name));
            CAPTURE(std::string(second.name));
            CHECK(read(outside::read(twice[i])).boxes == Boxes{{"card-2/step-5/reading-1/1", "4.10 mm"},
                                                               {"card-1/step-5/tick/2", "x"},
                                                               {"card-2/step-5/tick/1", "x"}});
        }
    }
}

TEST_CASE("the boxes of a card are its fields, by their names; those of the head are one on all pages") {
    const Printed& card = blank();
    const filled::Filled empty = read(card.bytes);
    CHECK(std::set<std::string>(empty.fields.begin(), empty.fields.end()) == card.names);
    CHECK(empty.fields.size() == card.names.size());
    for (const Program& program : programs) {
        CAPTURE(std::string(program.name));
        CHECK((read(outside::read(saved_by(program).blank)).boxes == all_ticks()));
    }
}

TEST_CASE("however it is packed and locked, what can be opened without a password is read") {
    const std::string full = saved_by(programs[0]).booklet, to = folder() + "/packed.pdf";
    for (const char* how :
         {"--object-streams=generate", "--object-streams=disable", "--linearize", "--qdf", "--compress-streams=n",
          "--recompress-flate --compression-level=9", "--encrypt '' owner 256 --",
          "--encrypt '' owner 128 --use-aes=y --", "--allow-weak-crypto --encrypt '' owner 128 --use-aes=n --",
          "--allow-weak-crypto --encrypt '' owner 40 --", "--encrypt '' owner 256 --cleartext-metadata --",
          "--newline-before-endstream", "--force-version=1.4"}) {
        CAPTURE(std::string(how));
        const auto ran = outside::run(fmt::format("qpdf {} {} {}", how, full, to));
        INFO(ran.out);
        REQUIRE(ran.status == 0);
        const filled::Filled back = read(outside::read(to));
        CHECK((back.boxes == written));
        CHECK((back.source == booklet().sources));
    }
    for (const char* how : {"clean", "clean -d", "clean -gggg", "clean -z", "clean -l"}) {
        CAPTURE(std::string(how));
        REQUIRE(outside::run(fmt::format("mutool {} {} {}", how, full, to)).status == 0);
        CHECK((read(outside::read(to)).boxes == written));
    }
    for (const char* how : {"user owner 256", "user owner 128 --use-aes=y"}) {
        CAPTURE(std::string(how));
        REQUIRE(outside::run(fmt::format("qpdf --encrypt {} -- {} {}", how, full, to)).status == 0);
        CHECK(refusal(outside::read(to)) == "the PDF is locked with a password: save it without one");
    }
}

TEST_CASE("where there are no boxes any more, it is said what may have become of them") {
    const std::string full = saved_by(programs[0]).booklet, to = folder() + "/flat.pdf";
    const std::string none =
        "it holds no form fields: was it printed with --no-form, or flattened or printed to a new PDF?";
    REQUIRE(outside::run(fmt::format("qpdf --flatten-annotations=all {} {}", full, to)).status == 0);
    CHECK(refusal(outside::read(to)) == none);
    REQUIRE(outside::run(fmt::format("pdftocairo -pdf {} {}", full, to)).status == 0); // as if printed to a file
    CHECK(refusal(outside::read(to)) == none);
    const auto work = driver::make_job(shop(), linked::JobId(0), {});
    const auto without = driver::pdf_of(work->cards.front(), {false, {}});
    REQUIRE(without.ok());
    CHECK(refusal(without.value()) == none);
}

TEST_CASE("a booklet that is cut off is refused") {
    for (const bool loose : {true, false}) {
        CAPTURE(loose);
        const std::string& whole = filled_booklet(loose);
        REQUIRE((left_of(whole) == few));
        for (std::size_t i = 0; i < 100; ++i) {
            const std::size_t size = whole.size() * i / 100;
            CAPTURE(size);
            CHECK(seconds([&] { CHECK(!left_of(whole.substr(0, size))); }) < 1.0 * BENCHLEAF_TIME_SLACK);
        }
        // The last bytes, one by one: the line end alone may be missing.
        for (std::size_t size = whole.size() - 60; size < whole.size(); ++size) {
            CAPTURE(size);
            const auto left = left_of(whole.substr(0, size));
            CHECK((!left || *left == few));
        }
    }
}

TEST_CASE("a booklet whose packed objects are garbled is refused at once") {
    const std::string& whole = filled_booklet(false);
    constexpr std::string_view begins = "/Type/ObjStm";
    constexpr std::string_view data = "stream\n";
    int refused = 0;
    for (std::size_t from = whole.find(begins); from != std::string::npos; from = whole.find(begins, from + 1)) {
        const std::size_t first = whole.find(data, from) + data.size();
        const std::size_t end = whole.find("endstream", first);
        REQUIRE(end != std::string::npos);
        for (std::size_t part = 1; part < 20; ++part) {
            std::string bytes = whole;
            const std::size_t at = first + (end - first) * part / 20;
            bytes[at] = static_cast<char>(bytes[at] ^ 0x55);
            CAPTURE(at);
            CHECK(seconds([&] { refused += left_of(bytes) ? 0 : 1; }) < 0.3 * BENCHLEAF_TIME_SLACK);
        }
    }
    CHECK(refused > 10);
}

TEST_CASE("a booklet with bytes changed is read or refused, and never makes trouble") {
    std::mt19937 random(20260412);
    for (const bool loose : {true, false}) {
        CAPTURE(loose);
        const std::string& whole = filled_booklet(loose);
        constexpr int rounds = BENCHLEAF_TIME_SLACK > 5 ? 100 : 1000; // the sanitizers look at fewer
        int read = 0;
        for (int round = 0; round < rounds; ++round) {
            std::string bytes = whole;
            const std::size_t at = random() % bytes.size();
            bytes[at] = static_cast<char>(bytes[at] ^ static_cast<char>(1 + random() % 255));
            CAPTURE(at);
            CHECK(seconds([&] { read += left_of(bytes) ? 1 : 0; }) < 1.0 * BENCHLEAF_TIME_SLACK);
        }
        // Most bytes are those of pages and pictures, which nobody looks at.
        CHECK(read > rounds / 10);
        CHECK(read < rounds * (rounds < 1000 ? 19 : 18) / 20); // of a hundred chance takes more
    }
}
