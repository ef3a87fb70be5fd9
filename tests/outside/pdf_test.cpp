// The painted PDF, read by other people's programs: qpdf, poppler, MuPDF, pdf.js, fontTools with pikepdf, zbar.
#include "base/text.h"
#include "outside/tools.h"
#include "pdf/paint.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <qrencode.h>

#include <algorithm>
#include <cstdio>
#include <ctime>
#include <regex>
#include <string>
#include <utility>

using namespace benchleaf;
using fonts::Face;
using pages::Box;
using pages::mm;
using pages::pt;
using pages::Role;

namespace {

Box text_at(pages::Length x, pages::Length baseline, std::string utf8, Face face = Face::regular,
            pages::Length size = pt(10)) {
    const auto width = static_cast<pages::Length>(fonts::width(face, utf8) * size / fonts::units_per_em);
    return {{x, baseline - size, width, size + size / 3},
            Role::text,
            "",
            pages::Text{std::move(utf8), face, size, baseline, 0},
            {}};
}

Box qr_at(pages::Length x, pages::Length y, pages::Length side, const std::string& says) {
    QRcode* code = QRcode_encodeString8bit(says.c_str(), 0, QR_ECLEVEL_M);
    REQUIRE(code != nullptr);
    pages::Qr qr{code->width, ""};
    for (int i = 0; i < code->width * code->width; ++i) qr.modules += (code->data[i] & 1) != 0 ? '1' : '0';
    QRcode_free(code);
    return {{x, y, side, side}, Role::qr, "qr", std::move(qr), {}};
}

// Every sentence in every face, one a line, with one of everything else that can be drawn.
pages::Pages specimen() {
    pages::Pages pages;
    for (const Face face : {Face::regular, Face::bold, Face::italic}) {
        pages::Page page;
        pages::Length y = mm(20);
        for (const outside::Sentence& sentence : outside::sentences) {
            page.boxes.push_back(text_at(mm(18), y, std::string(sentence.text), face, pt(9)));
            y += mm(8);
        }
        page.boxes.push_back(text_at(mm(18), y, "(brackets) \\ and (more", face));
        page.boxes.push_back({{mm(18), mm(150), mm(60), mm(20)},
                              Role::caution,
                              "frame",
                              pages::Area{std::nullopt, pt(1.5), 0, pt(3)},
                              {}});
        page.boxes.push_back({{mm(18), mm(180), mm(30), mm(8)}, Role::signal_word, "", pages::Area{0, 0, 0, 0}, {}});
        page.boxes.back().children.push_back({{mm(20), mm(181), mm(20), mm(6)},
                                              Role::text,
                                              "",
                                              pages::Text{"WARNING", Face::bold, pt(12), mm(186), 255},
                                              {}});
        page.boxes.push_back({{mm(60), mm(180), mm(5), mm(5)}, Role::tick, "", pages::Area{255, pt(1), 0, pt(1)}, {}});
        page.boxes.push_back({{mm(70), mm(180), mm(5), mm(5)},
                              Role::mark,
                              "",
                              pages::Polygon{pages::arrow_right({mm(70), mm(180), mm(5), mm(5)}), 0},
                              {}});
        page.boxes.push_back({{mm(80), mm(180), mm(5), mm(5)},
                              Role::mark,
                              "",
                              pages::Polygon{pages::triangle_down({mm(80), mm(180), mm(5), mm(5)}), 128},
                              {}});
        page.boxes.push_back({{mm(90), mm(180), mm(5), mm(5)},
                              Role::mark,
                              "",
                              pages::Line{pages::tick_mark({mm(90), mm(180), mm(5), mm(5)}), pt(1), 0, 0},
                              {}});
        page.boxes.push_back({{mm(18), mm(200), mm(150), 0},
                              Role::rule,
                              "",
                              pages::Line{{{mm(18), mm(200)}, {mm(168), mm(200)}}, pt(0.5), 0, pt(0.5)},
                              {}});
        page.boxes.push_back({{mm(18), mm(205), mm(150), 0},
                              Role::rule,
                              "",
                              pages::Line{{{mm(18), mm(205)}, {mm(168), mm(205)}}, pt(0.5), 90, pt(3)},
                              {}});
        page.boxes.push_back(qr_at(mm(18), mm(220), mm(22), "2026-0412 front-disc-service 3 7f3a91c2"));
        pages.pages.push_back(std::move(page));
    }
    return pages;
}

std::string painted(const pages::Pages& pages, const pdf::DocumentInfo& info) {
    auto made = pdf::paint(pages, info);
    if (!made) FAIL(made.failure().what);
    return std::move(made.value());
}

const pdf::DocumentInfo info{"Front disc brake – pads and guides", "Fernhollow Works", "Ostrel Haul 300 · 2026-0412",
                             "en", "BENCHLEAF 2026-0412 front-disc-service 3 1b2c3d4e5f607182"};

// The specimen, painted once and kept as a file for the programs.
const std::string& specimen_file() {
    static const std::string path = [] {
        const std::string file = outside::scratch("outside-pdf") + "/specimen.pdf";
        outside::write(file, painted(specimen(), info));
        return file;
    }();
    return path;
}

pages::Pages one(Box box) {
    pages::Pages pages;
    pages.pages.emplace_back().boxes.push_back(std::move(box));
    return pages;
}

constexpr fonts::Kinds kinds_of_parts[] = {0, 1, 3, 5, 9, 15}; // as make_fonts.py cuts them

std::string without_blanks(std::string text) {
    std::erase_if(text, [](char c) { return c == '\n' || c == ' ' || c == '\f'; });
    return text;
}

std::string refusal(const pages::Pages& pages, const pdf::DocumentInfo& with = info) {
    const auto made = pdf::paint(pages, with);
    return made ? "painted" : made.failure().what;
}

} // namespace

TEST_CASE("qpdf finds nothing wrong") {
    const auto ran = outside::run("qpdf --check " + specimen_file());
    INFO(ran.out);
    CHECK(ran.status == 0);
    CHECK(ran.out.find("No syntax or stream encoding errors found") != std::string::npos);
    CHECK(ran.out.find("WARNING") == std::string::npos);
}

TEST_CASE("poppler finds nothing wrong, and the information as it was given") {
    const auto ran = outside::run("pdfinfo " + specimen_file());
    INFO(ran.out);
    CHECK(ran.status == 0);
    CHECK(ran.out.find("Error") == std::string::npos);
    CHECK(ran.out.find("Front disc brake – pads and guides") != std::string::npos);
    CHECK(ran.out.find("Ostrel Haul 300 · 2026-0412") != std::string::npos);
    CHECK(ran.out.find("595.276 x 841.89 pts (A4)") != std::string::npos); // 210 mm by 297 mm
    CHECK(ran.out.find("CreationDate") == std::string::npos);
    const auto catalog = outside::run("qpdf --json " + specimen_file());
    CHECK(catalog.out.find("\"/Lang\": \"u:en\"") != std::string::npos);
}

TEST_CASE("all fonts are embedded, with a map to Unicode") {
    const auto ran = outside::run("pdffonts " + specimen_file() + " | tail -n +3");
    INFO(ran.out);
    const std::regex row("BenchleafSans-(Regular|Bold|Italic) +CID TrueType +Identity-H +yes no  yes .*");
    int rows = 0;
    std::size_t at = 0;
    while (at < ran.out.size()) {
        const std::size_t end = ran.out.find('\n', at);
        CHECK(std::regex_match(ran.out.substr(at, end - at), row));
        ++rows;
        at = end + 1;
    }
    CHECK(rows == 3);
}

TEST_CASE("a face that is not used is not embedded") {
    outside::write(outside::scratch("outside-pdf") + "/bold.pdf",
                   painted(one(text_at(mm(20), mm(20), "24 Nm", Face::bold)), info));
    const auto ran = outside::run("pdffonts " + outside::scratch("outside-pdf") + "/bold.pdf | tail -n +3");
    INFO(ran.out);
    CHECK(ran.out.find("BenchleafSans-Bold") != std::string::npos);
    CHECK(ran.out.find("BenchleafSans-Regular") == std::string::npos);
    CHECK(std::count(ran.out.begin(), ran.out.end(), '\n') == 1);
}

TEST_CASE("every character can be copied out again") {
    for (int page = 1; page <= 3; ++page) {
        const std::string number = std::to_string(page);
        const auto ran = outside::run("pdftotext -enc UTF-8 -nopgbrk -layout -f " + number + " -l " + number + " " +
                                      specimen_file() + " -");
        CAPTURE(page);
        INFO(ran.out);
        for (const outside::Sentence& sentence : outside::sentences) {
            CAPTURE(sentence.language);
            // pdftotext gives every space as U+0020; check_pdf_glyphs.py sees that the file itself has U+00A0.
            CHECK(ran.out.find(std::regex_replace(std::string(sentence.text), std::regex("\u00A0"), " ")) !=
                  std::string::npos);
        }
        CHECK(ran.out.find("(brackets) \\ and (more") != std::string::npos);
        CHECK(ran.out.find("WARNING") != std::string::npos);
    }
}

TEST_CASE("every character of each part of the faces is drawn by its own glyph and copied out again") {
    const std::string folder = outside::scratch("outside-pdf");
    for (const fonts::Kinds kinds : kinds_of_parts) {
        CAPTURE(kinds);
        pages::Pages all;
        std::string wanted;
        for (const Face face : {Face::regular, Face::bold, Face::italic}) {
            pages::Page page;
            pages::Length y = mm(12);
            std::string line;
            int count = 0;
            const auto flush = [&] {
                page.boxes.push_back(text_at(mm(18), y, line, face, pt(9)));
                wanted += line + "\n";
                y += mm(5);
                line.clear();
                count = 0;
            };
            for (char32_t c = 0x21; c < 0x3000; ++c) {
                if (!fonts::covers(c) || (fonts::kinds_of(c) & ~kinds) != 0) continue;
                if (c == 0xA0 || (c >= 0x2000 && c <= 0x200A) || c == 0x202F) continue; // spaces
                line += line.empty() ? "" : "|"; // so that neighbours are not read as ligatures or accents
                base::append_utf8(line, c);
                if (++count == 20) flush();
            }
            flush();
            all.pages.push_back(std::move(page));
        }
        const std::string file = fmt::format("{}/all-{}.pdf", folder, kinds);
        outside::write(file, painted(all, info));
        const auto known = outside::run("pdffonts " + file);
        for (const Face face : {Face::regular, Face::bold, Face::italic})
            CHECK(known.out.find(fonts::part(face, kinds).name) != std::string::npos);
        CHECK(outside::run("qpdf --check " + file).status == 0);
        CHECK(outside::run("pdftotext -enc UTF-8 -nopgbrk -raw " + file + " -").out == wanted);
        outside::write(file + ".txt", wanted);
        const auto viewer =
            outside::run(fmt::format("node " BENCHLEAF_SOURCE_DIR "/tests/outside/text.js {0} {0}.txt", file));
        CHECK_MESSAGE(viewer.status == 0, viewer.out);
        CHECK(without_blanks(outside::run("mutool draw -q -F txt " + file + " 2>/dev/null").out) ==
              without_blanks(wanted));
        const auto outlines =
            outside::run("/usr/bin/python3 " BENCHLEAF_SOURCE_DIR "/tests/outside/check_pdf_glyphs.py " + file);
        INFO(outlines.out);
        CHECK(outlines.status == 0);
        CHECK(outlines.out.find(" 0 damaged") != std::string::npos);
    }
}

// check_pdf_glyphs.py walks the page contents, and compares the glyph behind each code with the original font's outline of
// the character that the ToUnicode map gives for it, and the width with the original's.
TEST_CASE("no outline is damaged on the way into the PDF") {
    const auto ran =
        outside::run("/usr/bin/python3 " BENCHLEAF_SOURCE_DIR "/tests/outside/check_pdf_glyphs.py " + specimen_file());
    INFO(ran.out);
    CHECK(ran.status == 0);
    CHECK(ran.out.find(" 0 damaged") != std::string::npos);
}

TEST_CASE("text is as wide as the layout reckons") {
    // pdftotext -bbox gives the extent of each word in points, from the PDF's own widths.
    const std::string word = "Übermaßprüfung";
    outside::write(outside::scratch("outside-pdf") + "/width.pdf",
                   painted(one(text_at(pt(100), pt(200), word, Face::bold, pt(12))), info));
    const auto ran = outside::run("pdftotext -bbox " + outside::scratch("outside-pdf") + "/width.pdf -");
    std::smatch found;
    REQUIRE(std::regex_search(ran.out, found, std::regex("xMin=\"([0-9.]+)\" yMin=\"[0-9.]+\" xMax=\"([0-9.]+)\"")));
    CHECK(std::stod(found[1]) == doctest::Approx(100).epsilon(0.0001));
    CHECK(std::stod(found[2]) ==
          doctest::Approx(100 + static_cast<double>(fonts::width(Face::bold, word)) * 12 / 1000).epsilon(0.0001));
}

TEST_CASE("the code square is read back from a print of 150 dots an inch") {
    const std::string folder = outside::scratch("outside-pdf");
    REQUIRE(outside::run("pdftoppm -r 150 -gray -f 1 -l 1 -singlefile " + specimen_file() + " " + folder + "/page")
                .status == 0);
    const auto ran = outside::run("zbarimg -q --raw " + folder + "/page.pgm 2>/dev/null");
    CHECK(ran.out == "2026-0412 front-disc-service 3 7f3a91c2\n");
}

TEST_CASE("frames stay inside their boxes, and what is drawn is drawn where the box says") {
    // Rastered at 72 dots an inch without smoothing, a dot is a point; the frame of 10 pt takes x and y 100 to 110.
    Box box{{pt(100), pt(100), pt(200), pt(50)}, Role::panel, "", pages::Area{std::nullopt, pt(10), 0, 0}, {}};
    const std::string folder = outside::scratch("outside-pdf");
    outside::write(folder + "/frame.pdf", painted(one(box), info));
    REQUIRE(outside::run("pdftoppm -r 72 -gray -aaVector no -singlefile " + folder + "/frame.pdf " + folder + "/frame")
                .status == 0);
    const std::string image = outside::read(folder + "/frame.pgm");
    int width = 0, height = 0, head = 0;
    REQUIRE(std::sscanf(image.c_str(), "P5 %d %d 255%n", &width, &height, &head) == 2);
    const auto dark = [&](int x, int y) {
        return static_cast<unsigned char>(image.at(static_cast<std::size_t>(head + 1 + y * width + x))) < 128;
    };
    CHECK(!dark(98, 125));
    CHECK(dark(101, 125));
    CHECK(dark(108, 125));
    CHECK(!dark(112, 125));
    CHECK(dark(297, 125));
    CHECK(!dark(302, 125));
    CHECK(!dark(200, 98));
    CHECK(dark(200, 102));
    CHECK(!dark(200, 113));
    CHECK(dark(200, 147));
    CHECK(!dark(200, 152));
}

TEST_CASE("the same pages make the same bytes") {
    CHECK(painted(specimen(), info) == painted(specimen(), info));
}

TEST_CASE("the size of the other papers") {
    for (const auto& [paper, says] :
         {std::pair{pages::Paper::letter, "612 x 792 pts (letter)"}, {pages::Paper::a5, "419.528 x 595.276 pts"}}) {
        pages::Pages pages = one(text_at(mm(20), mm(20), "x"));
        pages.paper = paper;
        outside::write(outside::scratch("outside-pdf") + "/paper.pdf", painted(pages, info));
        const auto ran = outside::run("pdfinfo " + outside::scratch("outside-pdf") + "/paper.pdf");
        INFO(ran.out);
        CHECK(ran.out.find(says) != std::string::npos);
    }
}

TEST_CASE("what pages.h does not allow is refused by page and box") {
    CHECK(refusal(pages::Pages{}) == "there is no page to print");
    Box bad = text_at(mm(20), mm(20), "x");
    std::get<pages::Text>(bad.paint).utf8 = "brake\xFFpad";
    bad.name = "step 7/text";
    CHECK(refusal(one(bad)) == "page 1: box text step 7/text: its text is not UTF-8");
    for (const char* hostile : {"\xC0\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xE2\x82", "\x80"}) {
        std::get<pages::Text>(bad.paint).utf8 = hostile;
        CHECK(refusal(one(bad)) == "page 1: box text step 7/text: its text is not UTF-8");
    }
    for (const auto& [text, why] : {std::pair<const char*, const char*>{"ฟ", "the faces lack U+0E1F (Thai)"},
                                    {"🔧", "the faces lack U+1F527 (emoji)"},
                                    {"a\nb", "the faces lack U+000A (control characters)"},
                                    {"مكبح", "the faces lack U+0645 (Arabic)"}}) {
        std::get<pages::Text>(bad.paint).utf8 = text;
        CHECK(refusal(one(bad)) == std::string("page 1: box text step 7/text: ") + why);
    }
    std::get<pages::Text>(bad.paint).utf8 = std::string("a\0b", 3);
    CHECK(refusal(one(bad)) == "page 1: box text step 7/text: the faces lack U+0000 (control characters)");

    Box deep = text_at(mm(20), mm(20), "x");
    for (int i = 0; i < 200; ++i) {
        Box outer{deep.at, Role::panel, "", {}, {}};
        outer.children.push_back(std::move(deep));
        deep = std::move(outer);
    }
    CHECK(refusal(one(deep)) == "page 1: boxes are nested more than 24 deep");
    CHECK(refusal(one({{0, 0, -1, 5}, Role::panel, "", {}, {}})) == "page 1: box panel: it is out of range");
    CHECK(refusal(one({{2'000'000'000, 0, 1, 5}, Role::panel, "", {}, {}})) == "page 1: box panel: it is out of range");
    CHECK(refusal(one({{0, 0, 5, 5}, Role::panel, "", pages::Area{std::nullopt, 6, 0, 0}, {}})) ==
          "page 1: box panel: its line is thicker than the box");
    CHECK(refusal(one({{0, 0, 5, 5}, Role::qr, "", pages::Qr{3, "111"}, {}})) ==
          "page 1: box qr: its modules are no square of 0 and 1");
    CHECK(refusal(one({{0, 0, 5, 6}, Role::qr, "", pages::Qr{1, "1"}, {}})) ==
          "page 1: box qr: its modules are not square");
    CHECK(refusal(one({{0, 0, 5, 5}, Role::rule, "", pages::Line{{{0, 0}}, 5, 0, 0}, {}})) ==
          "page 1: box rule: its line has less than two points");
    CHECK(refusal(one({{0, 0, 5, 5}, Role::mark, "", pages::Polygon{{}, 0}, {}})) ==
          "page 1: box mark: its polygon has less than three points");
    CHECK(refusal(one(text_at(0, 0, "x")), {"\xFF", "", "", "en", ""}) ==
          "the document's title, author, subject or keywords are not UTF-8");
    CHECK(refusal(one(text_at(0, 0, "x")), {"", "", "", "en)/Evil", ""}) == "the document's language is no BCP 47 tag");
    CHECK(refusal(one(text_at(0, 0, "")), {}) == "painted");
}

TEST_CASE("an empty page is a page") {
    pages::Pages pages;
    pages.pages.resize(2);
    outside::write(outside::scratch("outside-pdf") + "/empty.pdf", painted(pages, {}));
    CHECK(outside::run("qpdf --check " + outside::scratch("outside-pdf") + "/empty.pdf").status == 0);
}

TEST_CASE("how long a card takes" * doctest::skip()) { // run with --no-skip; a figure for people, not a limit
    // Three pages with as much on them as a full card: 60 texts, 70 frames and rules a page, a code square.
    pages::Pages card;
    for (int number = 0; number < 3; ++number) {
        pages::Page page;
        for (int row = 0; row < 30; ++row) {
            const pages::Length y = mm(20 + row * 8);
            page.boxes.push_back(text_at(mm(18), y, std::to_string(row + 1), Face::bold, pt(12)));
            page.boxes.push_back(text_at(mm(50), y, "Remove the lower guide bolt, hold the pin still – 24 N·m ±10 %.",
                                         Face::regular, pt(10.5)));
            if (row % 3 == 0)
                page.boxes.push_back(text_at(mm(50), y + mm(3), "Nothing may hang on the hose.", Face::italic, pt(9)));
            for (int side = 0; side < 2; ++side)
                page.boxes.push_back({{mm(28 + side * 8), y - mm(5), mm(6), mm(6)},
                                      Role::tick,
                                      "",
                                      pages::Area{std::nullopt, pt(1), 0, pt(1)},
                                      {}});
            page.boxes.push_back({{mm(18), y + mm(4), mm(180), 0},
                                  Role::rule,
                                  "",
                                  pages::Line{{{mm(18), y + mm(4)}, {mm(198), y + mm(4)}}, pt(0.5), 0, pt(0.5)},
                                  {}});
        }
        page.boxes.push_back(qr_at(mm(180), mm(8), mm(20), "2026-0412 front-disc-service 3 7f3a91c2"));
        card.pages.push_back(std::move(page));
    }
    std::size_t size = painted(card, info).size();
    const std::clock_t from = std::clock(); // of this process alone, on a machine that may be busy
    constexpr int rounds = 100;
    for (int i = 0; i < rounds; ++i) size = painted(card, info).size();
    const double took = 1000.0 * static_cast<double>(std::clock() - from) / CLOCKS_PER_SEC / rounds;
    outside::write(outside::scratch("outside-pdf") + "/card.pdf", painted(card, info));
    std::printf("a card of 3 pages: %.2f ms, %zu bytes\n", took, size);
    CHECK(size > 0);
}
