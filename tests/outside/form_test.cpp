// A card is filled in by other people's viewers and saved: by poppler, as Debian's document viewers do it, and by pdf.js, as a browser
// does. What was typed is then read from the saved file and seen on its rastered pages, by poppler and by mupdf. And a card gives the files
// that it was made of back, byte for byte.
#include "base/text.h"
#include "bundle/bundle.h"
#include "digest/digest.h"
#include "driver/pipeline.h"
#include "outside/demo.h"
#include "outside/tools.h"
#include "pdf/paint.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <optional>
#include <sstream>

using namespace benchleaf;
using outside::shop;
using pages::Length;
using pages::mm;
using pages::pt;
using pages::Role;

namespace {

const std::string python = "/usr/bin/python3 " BENCHLEAF_SOURCE_DIR "/tests/outside/";
const std::string node = "node " BENCHLEAF_SOURCE_DIR "/tests/outside/form.js ";

std::string folder() {
    return outside::scratch("form");
}

// A card of the demo shop, as it is printed.
struct Printed {
    std::string file; // the path
    std::string bytes;
    std::string sources;
};

Printed print(const std::string& job_name, std::size_t card, bool form = true) {
    for (std::size_t job = 0; job < shop().linked.jobs.size(); ++job) {
        if (shop().linked.jobs[job].source->id.value != job_name) continue;
        const auto work = driver::make_job(shop(), linked::JobId(job), {});
        REQUIRE(card < work->cards.size());
        Printed made;
        made.sources = driver::sources_of(shop(), *work, outside::files());
        auto painted = driver::pdf_of(work->cards[card], {form, made.sources});
        if (!painted) FAIL(painted.failure().what);
        made.bytes = std::move(painted.value());
        made.file = fmt::format("{}/{}{}.pdf", folder(), work->cards[card].card.file_stem, form ? "" : "-no-form");
        outside::write(made.file, made.bytes);
        return made;
    }
    FAIL("no such job");
    return {};
}

void check_clean(const std::string& file) {
    const auto ran = outside::run("qpdf --check " + file);
    INFO(ran.out);
    CHECK(ran.status == 0);
    CHECK(ran.out.find("No syntax or stream encoding errors found") != std::string::npos);
    CHECK(ran.out.find("WARNING") == std::string::npos);
}

struct Listed {
    int page = 0;
    std::string kind, name, words;
    std::size_t most = 0;
    double size = 0;                                 // of what is typed
    double left = 0, bottom = 0, right = 0, top = 0; // in points
};

std::vector<Listed> list(const std::string& file) {
    const auto ran = outside::run(python + "form.py list " + file);
    INFO(ran.out);
    REQUIRE(ran.status == 0);
    std::vector<Listed> all;
    std::stringstream lines(ran.out);
    for (std::string line; std::getline(lines, line);) {
        const auto parts = base::split(line, '\t');
        REQUIRE(parts.size() == 7);
        Listed one{std::stoi(std::string(parts[0])), std::string(parts[1]), std::string(parts[2]),
                   std::string(parts[3]), std::stoul(std::string(parts[4]))};
        std::stringstream(fmt::format("{} {}", parts[5], parts[6])) >> one.size >> one.left >> one.bottom >>
            one.right >> one.top;
        all.push_back(std::move(one));
    }
    return all;
}

using Texts = std::map<std::string, std::string>; // by field

std::string by_poppler(const std::string& file, const std::string& texts, const std::string& to) {
    const auto ran = outside::run(fmt::format("{}form.py fill {} {} {}", python, file, to, texts));
    INFO(ran.out);
    REQUIRE(ran.status == 0);
    return ran.out;
}

std::string by_pdf_js(const std::string& file, const std::string& texts, const std::string& to) {
    const auto ran = outside::run(fmt::format("{}{} {} {}", node, file, to, texts));
    INFO(ran.out);
    REQUIRE(ran.status == 0);
    return ran.out;
}

struct Viewer {
    const char* name;
    std::string (*fill)(const std::string& file, const std::string& texts, const std::string& to);
};
constexpr Viewer viewers[] = {{"poppler", by_poppler}, {"pdf.js", by_pdf_js}};

std::string filled(const Viewer& viewer, const std::string& file, const Texts& texts) {
    std::string lines;
    for (const auto& [name, text] : texts) lines += name + "\t" + text + "\n";
    outside::write(folder() + "/texts", lines);
    const std::string to = fmt::format("{}.{}.pdf", file.substr(0, file.size() - 4), viewer.name);
    viewer.fill(file, folder() + "/texts", to);
    return to;
}

// A page as grey dots.
struct Raster {
    int width = 0, height = 0;
    std::string dots;
    int ink(int x, int y) const {
        if (x < 0 || y < 0 || x >= width || y >= height) return 0;
        return 255 -
               static_cast<unsigned char>(
                   dots[static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)]);
    }
};
constexpr int dots_an_inch = 200;

Raster raster_of(const std::string& program, const std::string& file, int page) {
    const std::string to = folder() + "/raster";
    const auto ran = program == "poppler"
                         ? outside::run(fmt::format("pdftoppm -r {} -gray -singlefile -f {} -l {} {} {}", dots_an_inch,
                                                    page, page, file, to))
                         : outside::run(fmt::format("mutool draw -q -r {} -c gray -F pgm -o {}.pgm {} {}", dots_an_inch,
                                                    to, file, page));
    INFO(ran.out);
    REQUIRE(ran.status == 0);
    const std::string image = outside::read(to + ".pgm");
    Raster raster;
    int head = 0;
    REQUIRE(std::sscanf(image.c_str(), "P5 %d %d 255%n", &raster.width, &raster.height, &head) == 2);
    raster.dots = image.substr(static_cast<std::size_t>(head) + 1);
    return raster;
}

// What is inked in a place, cut to its ink.
struct Ink {
    int left = 0, top = 0, width = 0, height = 0;
};
Ink ink_in(const Raster& raster, const Listed& place) {
    const auto dots = [](double points) { return points / 72 * dots_an_inch; };
    const int x0 = static_cast<int>(std::ceil(dots(place.left))), x1 = static_cast<int>(dots(place.right));
    const int y0 = static_cast<int>(std::ceil(raster.height - dots(place.top)));
    const int y1 = static_cast<int>(raster.height - dots(place.bottom)) - 1; // the line under it begins there
    int left = x1, right = x0 - 1, top = y1, bottom = y0 - 1;
    for (int y = y0; y < y1; ++y)
        for (int x = x0; x < x1; ++x)
            if (raster.ink(x, y) > 100) {
                left = std::min(left, x), right = std::max(right, x);
                top = std::min(top, y), bottom = std::max(bottom, y);
            }
    return {left, top, right - left + 1, bottom - top + 1};
}

// How much of the ink differs between two places, in the best of the small moves of one over the other: 0 the same, 1 nothing in common.
double difference(const Raster& a, const Ink& in_a, const Raster& b, const Ink& in_b) {
    double best = 1;
    for (int move_y = -2; move_y <= 2; ++move_y)
        for (int move_x = -2; move_x <= 2; ++move_x) {
            double apart = 0, all = 1;
            for (int y = -2; y < std::max(in_a.height, in_b.height) + 2; ++y)
                for (int x = -2; x < std::max(in_a.width, in_b.width) + 2; ++x) {
                    const int one = a.ink(in_a.left + x, in_a.top + y),
                              two = b.ink(in_b.left + x + move_x, in_b.top + y + move_y);
                    apart += std::abs(one - two);
                    all += one + two;
                }
            best = std::min(best, apart / all);
        }
    return best;
}

// Pages of lines to write on, and the same with the texts printed over the lines by ourselves.
pages::Pages sheet(const std::vector<std::string>& texts, bool printed) {
    pages::Pages pages;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        if (i % 24 == 0) pages.pages.emplace_back();
        const Length y = mm(20) + static_cast<Length>(i % 24) * mm(10);
        if (printed) // a little in from the edge: J hangs out to the left of its place
            pages.pages.back().boxes.push_back({{mm(22), y - pt(14), mm(168), pt(14)},
                                                Role::text,
                                                "",
                                                pages::Text{texts[i], fonts::Face::regular, pt(12), y - pt(4), 0},
                                                {}});
        else
            pages.pages.back().boxes.push_back({{mm(20), y, mm(170), pt(0.8)},
                                                Role::write_line,
                                                fmt::format("line/{}", i),
                                                pages::Area{0, 0, 0, 0},
                                                {}});
    }
    return pages;
}

std::string file_of(const std::string& name, const pages::Pages& pages, const pages::FieldWords* words) {
    const auto made = pdf::paint(pages, {"Sheet", "Fernhollow Works", "", "en", ""}, {words, {}});
    if (!made) FAIL(made.failure().what);
    outside::write(folder() + "/" + name, made.value());
    return folder() + "/" + name;
}

// All texts typed into the sheet by a viewer: they stand in the saved file, and look as when we print them.
void type_and_see(const Viewer& viewer, const std::vector<std::string>& texts) {
    CAPTURE(std::string(viewer.name));
    const pages::FieldWords words;
    const std::string empty = file_of("sheet.pdf", sheet(texts, false), &words);
    const std::string printed = file_of("printed.pdf", sheet(texts, true), nullptr);
    const auto places = list(empty);
    REQUIRE(places.size() == texts.size());
    Texts typed;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        CHECK(base::code_points(texts[i]) <= places[i].most);
        typed[places[i].name] = texts[i];
    }
    const std::string saved = filled(viewer, empty, typed);
    check_clean(saved);
    const auto ran = outside::run("pdftotext -enc UTF-8 -nopgbrk -raw " + saved + " -");
    std::string wanted;
    for (const std::string& text : texts) wanted += text + "\n";
    CHECK(ran.out == wanted);

    for (const char* program : {"poppler", "mupdf"}) {
        CAPTURE(std::string(program));
        int page = 0;
        Raster ours, theirs;
        std::optional<Ink> before;
        for (std::size_t i = 0; i < texts.size(); ++i) {
            CAPTURE(texts[i]);
            if (places[i].page != page) {
                page = places[i].page;
                theirs = raster_of(program, saved, page);
                ours = raster_of(program, printed, page);
                before.reset();
            }
            const Ink a = ink_in(theirs, places[i]), b = ink_in(ours, places[i]);
            CHECK(a.width > 20);
            CHECK(difference(theirs, a, ours, b) < 0.15);
            if (before) CHECK(difference(theirs, a, ours, *before) > 0.4); // another text is told apart
            before = b;
        }
    }
}

} // namespace

TEST_CASE("every character that the faces cover can be typed") {
    std::vector<std::string> texts;
    std::string text;
    int count = 0;
    for (char32_t c = 0x21; c < 0x3000; ++c) {
        if (!fonts::covers(c) || c == 0xA0 || (c >= 0x2000 && c <= 0x200A) || c == 0x202F) continue; // not spaces
        text += text.empty() ? "" : "|"; // so that neighbours are not read as ligatures or accents
        base::append_utf8(text, c);
        if (++count == 20) {
            texts.push_back(std::move(text));
            text.clear();
            count = 0;
        }
    }
    texts.push_back(std::move(text));
    // Comparing so many dots is what the sanitizers are slow in, and it is the same for all texts: they look at every fourth.
    constexpr std::size_t stride = BENCHLEAF_TIME_SLACK > 5 ? 4 : 1;
    std::vector<std::string> looked_at;
    for (std::size_t i = 0; i < texts.size(); i += stride) looked_at.push_back(std::move(texts[i]));
    for (const Viewer& viewer : viewers) type_and_see(viewer, looked_at);
}

TEST_CASE("each character has its own glyph and width in the font that is typed with") {
    std::size_t covered = 0;
    for (char32_t c = 0; c < 0x3000; ++c) covered += fonts::covers(c) ? 1 : 0;
    const auto ran = outside::run(python + "form.py font " + print("2026-0412", 1).file);
    INFO(ran.out);
    CHECK(ran.status == 0);
    CHECK(ran.out == fmt::format("{}\n", covered));
}

TEST_CASE("words in Latin, Greek and Cyrillic letters can be typed") {
    for (const Viewer& viewer : viewers)
        type_and_see(viewer, {"Play in the left hub bearing, told by phone 14:20", "Große Übermaße, müßig: Öl prüfen",
                              "Źrebię żuło łąkę, gęś ćwierkała, koń śnił", "Příliš žluťoučký kůň úpěl ďábelské ódy",
                              "Σφίξε τον κοχλία, άέήίόύώϊϋΐΰ", "Съешь ещё, подшипник шумит", "Ґанок, їжак, єнот"});
}

TEST_CASE("a card is filled in, ticks and all, and saved") {
    const Printed card = print("2026-0412", 1);
    check_clean(card.file);
    const auto fields = list(card.file);
    CHECK(fields.size() > 140);
    std::string before;
    int page = 0;
    for (const Listed& field : fields) {
        CAPTURE(field.name);
        CHECK(field.page >= page); // in the order of the pages
        page = field.page;
        CHECK(!field.words.empty());
        CHECK((field.kind == "Btn") == (field.most == 0));
        if (field.name.find("initials") != std::string::npos) CHECK(field.most == 4);
        if (field.kind != "Tx") continue;
        // The longest reading that may be typed is seen whole, and is large enough to be read.
        CHECK(field.size >= 7);
        CHECK(static_cast<double>(fonts::width(fonts::Face::regular, "0") * static_cast<long>(field.most)) *
                  field.size / 1000 <
              (field.right - field.left - 4) * (field.name.find("note") != std::string::npos ? 2 : 1));
        if (field.name.find("/reading") != std::string::npos) CHECK(field.most >= 6);
    }
    // In a row first the ticks, then the readings; and so down the page.
    const auto place = [&](const std::string& name) {
        const auto at =
            std::find_if(fields.begin(), fields.end(), [&](const Listed& each) { return each.name == name; });
        REQUIRE(at != fields.end());
        return at - fields.begin();
    };
    CHECK(place("before/protection-3") < place("step-1/tick/1"));
    CHECK(place("step-5/tick/1") < place("step-5/tick/2"));
    CHECK(place("step-5/tick/2") < place("step-5/reading-1/1"));
    CHECK(place("step-5/reading-1/2") < place("step-6/tick/1"));
    CHECK(place("close-out/1") < place("sign-off/1"));

    const Texts texts = {{"step-5/tick/1", "Yes"},
                         {"step-5/reading-1/1", "4.35"},
                         {"step-5/reading-1/2", "4.28"},
                         {"step-35/torque-1/initials/1", "ŻŁ"},
                         {"findings/also/1", "Ölspuren am Gehäuse"},
                         {"sign-off/1", "Łucja Źdźbło"},
                         {"sign-off/2", "Ελένη Ξυδά"},
                         {"sign-off/5", "26.11.2026"}};
    for (const Viewer& viewer : viewers) {
        CAPTURE(std::string(viewer.name));
        const std::string saved = filled(viewer, card.file, texts);
        check_clean(saved);
        const auto text = outside::run("pdftotext -enc UTF-8 " + saved + " -").out;
        for (const auto& each : texts)
            if (each.second != "Yes") CHECK_MESSAGE(text.find(each.second) != std::string::npos, each.second);
        for (const char* program : {"poppler", "mupdf"}) {
            CAPTURE(std::string(program));
            const Listed ticked = fields[static_cast<std::size_t>(place("step-5/tick/1"))];
            const Raster filled_page = raster_of(program, saved, ticked.page);
            const Raster empty = raster_of(program, card.file, ticked.page);
            const Listed other = fields[static_cast<std::size_t>(place("step-5/tick/2"))];
            const auto sum = [](const Raster& raster, const Listed& in) {
                long all = 0;
                const double scale = dots_an_inch / 72.0;
                for (int y = static_cast<int>(raster.height - in.top * scale); y < raster.height - in.bottom * scale;
                     ++y)
                    for (int x = static_cast<int>(in.left * scale); x < in.right * scale; ++x) all += raster.ink(x, y);
                return all;
            };
            CHECK(sum(filled_page, ticked) > sum(empty, ticked) * 5 / 4);
            CHECK(sum(filled_page, other) == sum(empty, other));
        }
    }
}

TEST_CASE("what is written into the head of a blank card stands on all its pages") {
    std::unique_ptr<driver::Work> blank;
    for (std::size_t p = 0; p < shop().linked.procedures.size() && !blank; ++p)
        for (std::size_t v = 0; v < shop().linked.vehicles.size() && !blank; ++v) {
            auto made = driver::make_blank(shop(), linked::ProcedureId(p), linked::VehicleId(v), {});
            if (!made->cards.empty() && made->cards.front().pages.pages.size() > 2) blank = std::move(made);
        }
    REQUIRE(blank);
    const auto painted = driver::pdf_of(blank->cards.front());
    REQUIRE(painted.ok());
    const std::string file = folder() + "/blank.pdf";
    outside::write(file, painted.value());
    for (const Viewer& viewer : viewers) {
        CAPTURE(std::string(viewer.name));
        const std::string saved = filled(viewer, file, {{"head/1", "7-0815"}});
        check_clean(saved);
        for (std::size_t page = 1; page <= blank->cards.front().pages.pages.size(); ++page) {
            CAPTURE(page);
            CHECK(outside::run(fmt::format("pdftotext -f {0} -l {0} {1} -", page, saved)).out.find("7-0815") !=
                  std::string::npos);
        }
    }
}

TEST_CASE("an empty form looks as the card without one, which has no fields") {
    const Printed with = print("2026-0412", 1), without = print("2026-0412", 1, false);
    check_clean(without.file);
    CHECK(list(without.file).empty());
    CHECK(outside::run("pdfinfo " + without.file).out.find("AcroForm") == std::string::npos);
    CHECK(outside::run("pdfinfo " + with.file).out.find("AcroForm") != std::string::npos);
    const int pages = list(with.file).back().page;
    CHECK(pages > 3);
    for (const char* program : {"poppler", "mupdf"})
        for (int page = 1; page <= pages; ++page) {
            CAPTURE(page);
            CHECK(raster_of(program, with.file, page).dots == raster_of(program, without.file, page).dots);
        }
}

TEST_CASE("the same card makes the same bytes, with its form and its files") {
    CHECK(print("2026-0412", 1).bytes == print("2026-0412", 1).bytes);
}

TEST_CASE("a card gives back the files that it was made of") {
    const Printed card = print("2026-0412", 1);
    const std::string name = "2026-0412-2-front-disc-service.sources.yaml";
    CHECK(outside::run("pdfdetach -list " + card.file).out == "1 embedded files\n1: " + name + "\n");
    const std::string to = outside::scratch("form/out");
    REQUIRE(outside::run("pdfdetach -saveall -o " + to + " " + card.file).status == 0);
    CHECK(outside::read(to + "/" + name) == card.sources);
    CHECK(outside::run("qpdf --show-attachment=" + name + " " + card.file).out == card.sources);
    outside::write(folder() + "/none", "");
    CHECK(by_pdf_js(card.file, folder() + "/none", folder() + "/none.pdf").find(name + "\n") != std::string::npos);
    const auto json = outside::run("qpdf --json " + card.file).out;
    for (const char* says :
         {"\"/AFRelationship\": \"/Source\"", "\"/Subtype\": \"/application/yaml\"", "\"/Tabs\": \"/R\""})
        CHECK_MESSAGE(json.find(says) != std::string::npos, says);

    const auto ran = outside::run(python + "bundle.py " + to + "/" + name);
    INFO(ran.out);
    REQUIRE(ran.status == 0);
    std::vector<std::string> paths;
    std::stringstream lines(ran.out);
    for (std::string line; std::getline(lines, line);) {
        const auto parts = base::split(line, '\t');
        REQUIRE(parts.size() == 4);
        const std::string path(parts[0]);
        CAPTURE(path);
        CHECK(parts[1] == parts[2]);
        CHECK(parts[1] == digest::sha256_hex(outside::read(BENCHLEAF_SOURCE_DIR "/procedures/" + path)));
        paths.push_back(path);
    }
    for (const char* path : {"shop.yaml", "vehicles/ostrel-haul-300.yaml", "jobs/2026-0412.yaml",
                             "brakes/front-disc-service.yaml", "catalogue/disc-brake.yaml", "pictures/caliper.png"})
        CHECK(std::count(paths.begin(), paths.end(), path) == 1);
    for (const char* path : {"jobs/2026-0418.yaml", "brakes/drum-brake-service.yaml", "pictures/drum.png"}) {
        REQUIRE(!outside::read(BENCHLEAF_SOURCE_DIR "/procedures/" + std::string(path)).empty());
        CHECK(std::count(paths.begin(), paths.end(), path) == 0);
    }
    // What a called procedure says is in it, too.
    CHECK(std::count(paths.begin(), paths.end(), "lifting/front-end-up.yaml") == 1);
}

TEST_CASE("whatever a file holds comes out of the bundle byte for byte") {
    std::vector<std::string> texts = {"",
                                      "a",
                                      "a\n",
                                      "a\n\n\n",
                                      "\n",
                                      "\n\n a\n",
                                      "  set in: first\nthen: not\n",
                                      "\ta tab\n",
                                      "a \nb\t\n",
                                      "a\n   \n",
                                      "a\n   ",
                                      "\r\n",
                                      "a: 1\r\n  - b\r\n\tc: 2\r\n\r\n \r\n",
                                      "a\rb\n",
                                      "\xEF\xBB\xBFprocedure: x\n",
                                      "# – “quoted” \\ \"\n",
                                      "---\nx\n...\n",
                                      "\xC2\x85\n",
                                      "a\xE2\x80\xA8\n",
                                      "\x01\x7F\n",
                                      "Σφίξε 🔧\n",
                                      "- |2\n    x\n",
                                      "\n\n",
                                      " \n",
                                      "%YAML 1.2\n",
                                      "\xEF\xBF\xBE\n",
                                      "key: |+\n  x\n\n\n"};
    std::vector<std::string> paths;
    for (std::size_t i = 0; i < texts.size(); ++i) paths.push_back(fmt::format("folder/\"{}\" – ä.yaml", i));
    // Pictures may hold any byte.
    const std::size_t first_picture = texts.size();
    std::string any;
    for (int i = 0; i < 1000; ++i) any += static_cast<char>(i * 7 % 256);
    for (const std::size_t length : {0U, 1U, 2U, 3U, 56U, 57U, 58U, 114U, 1000U}) {
        texts.push_back(any.substr(0, length));
        paths.push_back(fmt::format("pictures/{}.png", length));
    }
    std::vector<bundle::File> files;
    for (std::size_t i = 0; i < texts.size(); ++i) files.push_back({paths[i], texts[i], i >= first_picture});
    const std::string path = folder() + "/odd.yaml";
    outside::write(path, bundle::write(files));
    const auto other = outside::run("fy-tool --testsuite " + path + " >/dev/null"); // a reader of YAML 1.2
    INFO(other.out);
    CHECK(other.status == 0);
    const auto ran = outside::run(python + "bundle.py " + path);
    INFO(ran.out);
    REQUIRE(ran.status == 0);
    std::stringstream lines(ran.out);
    std::size_t at = 0;
    for (std::string line; std::getline(lines, line); ++at) {
        REQUIRE(at < texts.size());
        CAPTURE(at);
        const auto parts = base::split(line, '\t');
        REQUIRE(parts.size() == 4);
        std::string hex;
        for (const char byte : texts[at]) hex += fmt::format("{:02x}", static_cast<unsigned char>(byte));
        CHECK(parts[0] == paths[at]);
        CHECK(parts[1] == parts[2]);
        CHECK(parts[3] == hex);
    }
    CHECK(at == texts.size());
}
