// A card as it comes out of a printer and out of a file: the code square read from a grey print of 150 dots an inch by two programs, the
// levels of caution told apart in black and white, every word where the layout put it, and procedures in other alphabets letter by letter.
#include "base/text.h"
#include "driver/pipeline.h"
#include "labels/labels.h"
#include "outside/tools.h"
#include "properties/layout_rules.h"
#include "properties/sample_card.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <optional>
#include <regex>
#include <set>
#include <string>
#include <vector>

using namespace benchleaf;
using namespace benchleaf::pages;
using layout_rules::Above;
using layout_rules::papers;
using layout_rules::walk;

namespace {

const driver::Shopful& shop() {
    static const auto linked = [] {
        const auto read = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
        REQUIRE(read.ok());
        return driver::link_shop(read.value().files);
    }();
    return *linked;
}

std::unique_ptr<driver::Work> demo_job(std::size_t job, Paper paper, std::string_view language = "en") {
    driver::PrintOptions options;
    options.paper = paper;
    options.language = language;
    return driver::make_job(shop(), linked::JobId(job), options);
}

std::size_t job_of(std::string_view name) {
    for (std::size_t job = 0; job < shop().linked.jobs.size(); ++job)
        if (shop().linked.jobs[job].source->id.value == name) return job;
    FAIL("no such job");
    return 0;
}

std::string written(const driver::PagedCard& card, const std::string& name) {
    auto made = driver::pdf_of(card);
    if (!made) FAIL(made.failure().what);
    const std::string file = fmt::format("{}/{}.pdf", outside::scratch("print"), name);
    outside::write(file, made.value());
    return file;
}

driver::PagedCard set(const card::Card& card, Paper paper) {
    return {card, layout_rules::laid(card, paper)};
}

// What two programs that know nothing of each other read from a page of it.
std::array<std::string, 2> read_code(const std::string& file, std::size_t page) {
    const std::string to = outside::scratch("print") + "/grey";
    REQUIRE(
        outside::run(fmt::format("pdftoppm -gray -r 150 -singlefile -f {} -l {} {} {}", page, page, file, to)).status ==
        0);
    std::string zbar =
        outside::run("zbarimg -q --raw --nodbus -S disable -S qrcode.enable " + to + ".pgm 2>/dev/null").out;
    if (zbar.ends_with('\n')) zbar.pop_back();
    const std::string zxing = outside::run("ZXingReader " + to + ".pgm").out;
    std::smatch found;
    const std::regex text("Text: +\"(.*)\"\n");
    return {zbar, std::regex_search(zxing, found, text) ? found[1].str() : ""};
}

} // namespace

TEST_CASE("the code square is read from a grey print of 150 dots an inch by two programs") {
    std::size_t read = 0;
    const auto check = [&](const driver::PagedCard& card, std::size_t page) {
        CAPTURE(card.card.head.code);
        CAPTURE(name(card.pages.paper));
        CAPTURE(page);
        const auto both = read_code(written(card, "code"), page);
        CHECK(both[0] == card.card.head.code);
        CHECK(both[1] == card.card.head.code);
        ++read;
    };
    for (const Paper paper : papers) {
        // Every page of one card, on one paper; of the others those that say most and least.
        const auto front = demo_job(job_of("2026-0412"), paper);
        const std::size_t pages = front->cards[1].pages.pages.size();
        for (std::size_t page = paper == Paper::a4 ? 1 : pages; page <= pages; ++page) check(front->cards[1], page);
        const auto whole = demo_job(job_of("2026-0418"), paper);
        const auto by_length = [](const driver::PagedCard& a, const driver::PagedCard& b) {
            return a.card.head.code.size() < b.card.head.code.size();
        };
        const auto [least, most] = std::minmax_element(whole->cards.begin(), whole->cards.end(), by_length);
        check(*least, 1);
        check(*most, 1);
        // A procedure with a name of sixty letters: the finest square.
        card::Card fine = sample::sketch_card();
        fine.head.code = "BENCHLEAF 2026-0412 " + std::string(60, 'x') + " 12 7f3a91c27f3a91c2";
        check(set(fine, paper), 1);
    }
    CHECK(read >= 14);
}

TEST_CASE("a code square that is spoiled is not read: the readers look") {
    driver::PagedCard card = set(sample::sketch_card(), Paper::a4);
    const auto spoil = [&](const std::function<void(Qr&)>& how) {
        const std::function<void(Box&)> visit = [&](Box& box) {
            if (auto* qr = std::get_if<Qr>(&box.paint)) how(*qr);
            for (Box& child : box.children) visit(child);
        };
        for (Page& page : card.pages.pages)
            for (Box& box : page.boxes) visit(box);
        return read_code(written(card, "spoiled"), 1);
    };
    CHECK(spoil([](Qr&) {})[0] == card.card.head.code);
    CHECK(spoil([](Qr&) {})[1] == card.card.head.code);
    // Two fifths of its modules turned round, those in the middle.
    const auto none = spoil([](Qr& qr) {
        for (std::size_t i = qr.modules.size() * 3 / 10; i < qr.modules.size() * 7 / 10; ++i)
            qr.modules[i] = qr.modules[i] == '1' ? '0' : '1';
    });
    CHECK(none[0].empty());
    CHECK(none[1].empty());
}

namespace {

// A page in black and white.
struct Dots {
    int width = 0, height = 0;
    std::string bits;
    bool black(int x, int y) const {
        if (x < 0 || y < 0 || x >= width || y >= height) return false;
        const std::size_t row = static_cast<std::size_t>(width + 7) / 8;
        const auto byte =
            static_cast<unsigned char>(bits.at(static_cast<std::size_t>(y) * row + static_cast<std::size_t>(x) / 8));
        return ((byte >> (7 - x % 8)) & 1) != 0;
    }
};

constexpr int dots_an_inch = 150;

Dots dots_of(const std::string& file, std::size_t page) {
    const std::string to = outside::scratch("print") + "/mono";
    REQUIRE(outside::run(
                fmt::format("pdftoppm -mono -r {} -singlefile -f {} -l {} {} {}", dots_an_inch, page, page, file, to))
                .status == 0);
    const std::string image = outside::read(to + ".pbm");
    Dots dots;
    int head = 0;
    REQUIRE(std::sscanf(image.c_str(), "P4 %d %d%n", &dots.width, &dots.height, &head) == 2);
    dots.bits = image.substr(static_cast<std::size_t>(head) + 1);
    return dots;
}

int dot(Length length) {
    return static_cast<int>(static_cast<std::int64_t>(length) * dots_an_inch / 72'000);
}

// How a frame looks from across the bench: how thick its edge is, and how much of it is black.
struct Weight {
    int edge = 0;
    double black = 0;
};
Weight weight_of(const Dots& dots, const Rect& at) {
    Weight weight;
    const int left = dot(at.x), right = dot(at.right()), top = dot(at.y), bottom = dot(at.bottom());
    const int middle = (top + bottom) / 2;
    int x = right;
    while (x > left && !dots.black(x, middle)) --x;
    for (; x > left && dots.black(x, middle); --x) ++weight.edge;
    int black = 0;
    for (int y = top; y < bottom; ++y)
        for (x = left; x < right; ++x) black += dots.black(x, y) ? 1 : 0;
    weight.black = static_cast<double>(black) / ((right - left) * (bottom - top));
    return weight;
}

// A caution of each of these levels, all of one text, and a STOP.
card::Card of_levels(const std::vector<card::Level>& levels) {
    card::Card made;
    made.language = "en";
    made.head = sample::head();
    made.words = sample::words();
    made.foot.text = "Follow the maker's service manual.";
    card::Section section;
    section.columns = {""};
    std::uint32_t number = 0;
    for (const card::Level level : levels)
        sample::add_row(section, number, sample::step("Turn the nut."), {true}).cautions = {
            sample::caution(level, "SIGNAL", "The same hazard.", "The same advice.")};
    sample::add_row(section, number, card::Stop{"STOP", "It leaks."}, {false});
    made.sections.push_back(std::move(section));
    return made;
}

// Of the cautions from the first on, then of the STOP.
std::vector<Weight> weights_of(const driver::PagedCard& card) {
    const std::string file = written(card, "levels");
    std::vector<Weight> all;
    for (std::size_t page = 0; page < card.pages.pages.size(); ++page) {
        const Dots dots = dots_of(file, page + 1);
        walk(card.pages.pages[page], [&](const Box& box, const Above& above) {
            const bool stop = box.role == Role::stop && !above.empty() && above.back()->role == Role::stop &&
                              std::holds_alternative<Area>(box.paint) && std::get<Area>(box.paint).fill;
            if (box.role == Role::caution || stop) all.push_back(weight_of(dots, box.at));
        });
    }
    return all;
}

std::vector<Weight> weights(const std::vector<card::Level>& levels, Paper paper) {
    const auto all = weights_of(set(of_levels(levels), paper));
    REQUIRE(all.size() == levels.size() + 1);
    return all;
}

// Cautions of three levels on one step, as many words in each as make the step so tall that they stand under their signal words.
std::optional<driver::PagedCard> squeezed_cautions(Paper paper) {
    std::string words = "Keep lamps and all that glows out of the bay.";
    for (int more = 0; more < 200; ++more) {
        words += " And keep out.";
        card::Card made = of_levels({card::Level::danger});
        auto& cautions = made.sections[0].rows[0].cautions;
        cautions.clear();
        for (const card::Level level : {card::Level::danger, card::Level::warning, card::Level::caution})
            cautions.push_back(sample::caution(level, "SIGNAL", "The vapour burns.", words));
        messages::Messages said;
        auto all = lay_out(made, paper, said);
        if (!all) return std::nullopt;
        bool under = false;
        walk(*all, [&](const Box& box, const Above& above) {
            under = under || (box.role == Role::signal_word && !above.empty() && above.back()->role == Role::caution &&
                              box.at.width > above.back()->at.width * 9 / 10);
        });
        if (under) return driver::PagedCard{std::move(made), std::move(*all)};
    }
    return std::nullopt;
}

// Whether each stands out from the next, by its edge and by its black.
bool told_apart(const std::vector<Weight>& all) {
    for (std::size_t i = 0; i + 2 < all.size(); ++i)
        if (all[i].edge * 10 < all[i + 1].edge * 14 || all[i].black < all[i + 1].black * 1.1) return false;
    return all.back().black > 0.5;
}

} // namespace

TEST_CASE("the levels of caution and STOP are told apart in black and white") {
    using enum card::Level;
    for (const Paper paper : papers) {
        CAPTURE(name(paper));
        const auto all = weights({danger, warning, caution, notice}, paper);
        const auto said = [](const std::vector<Weight>& those) {
            std::string seen;
            for (const Weight& one : those) seen += fmt::format("edge {} dots, black {:.2f}; ", one.edge, one.black);
            return seen;
        };
        CHECK_MESSAGE(told_apart(all), said(all));
        const auto squeezed = squeezed_cautions(paper);
        REQUIRE(squeezed);
        const auto under = weights_of(*squeezed);
        CHECK(under.size() == 4);
        CHECK_MESSAGE(told_apart(under), said(under));
        // It can fail: two of one level, or two the wrong way round.
        CHECK_FALSE(told_apart(weights({danger, warning, warning, notice}, paper)));
        CHECK_FALSE(told_apart(weights({danger, warning, notice, caution}, paper)));
    }
}

namespace {

struct Word {
    std::string text;
    double left, top, right, bottom; // points from the upper left
};

std::string without_entities(std::string text) {
    for (const auto& [from, to] :
         {std::pair{"&lt;", "<"}, {"&gt;", ">"}, {"&quot;", "\""}, {"&apos;", "'"}, {"&amp;", "&"}})
        for (std::size_t at = 0; (at = text.find(from, at)) != std::string::npos; ++at)
            text.replace(at, std::string_view(from).size(), to);
    return text;
}

// By page, as poppler finds them.
std::vector<std::vector<Word>> words_of_file(const std::string& file) {
    const auto ran = outside::run("pdftotext -bbox -enc UTF-8 " + file + " -");
    REQUIRE(ran.status == 0);
    std::vector<std::vector<Word>> pages;
    std::stringstream lines(ran.out);
    for (std::string line; std::getline(lines, line);) {
        if (line.find("<page ") != std::string::npos) pages.emplace_back();
        Word word{};
        int end = 0;
        if (std::sscanf(line.c_str(), " <word xMin=\"%lf\" yMin=\"%lf\" xMax=\"%lf\" yMax=\"%lf\">%n", &word.left,
                        &word.top, &word.right, &word.bottom, &end) != 4)
            continue;
        const auto from = static_cast<std::size_t>(end);
        word.text = without_entities(line.substr(from, line.rfind("</word>") - from));
        pages.back().push_back(std::move(word));
    }
    return pages;
}

std::string without_blanks(std::string_view text) {
    std::string all;
    for (std::size_t at = 0; at < text.size();) {
        const base::CodePoint point = base::code_point_at(text, at);
        const bool blank = point.value == ' ' || point.value == 0xA0 || point.value == 0x202F;
        if (!blank) all += text.substr(at, point.bytes);
        at += point.bytes;
    }
    return all;
}

// Where the words that poppler finds and the texts that were laid out disagree: each word in the box of a text that has it, within 1 pt, and
// each text's words all there, in their order.
std::vector<std::string> word_faults(const Pages& pages, const std::vector<std::vector<Word>>& found) {
    std::vector<std::string> faults;
    if (pages.pages.size() != found.size()) return {"another number of pages"};
    for (std::size_t page = 0; page < found.size(); ++page) {
        struct Laid {
            const Box* box;
            const Text* text;
            std::vector<const Word*> words;
        };
        std::vector<Laid> laid;
        walk(pages.pages[page], [&](const Box& box, const Above&) {
            if (const auto* text = std::get_if<Text>(&box.paint)) laid.push_back({&box, text, {}});
        });
        for (const Word& word : found[page]) {
            const auto holds = [&](const Laid& one) {
                const auto points = [](Length length) { return length / 1000.0; };
                // poppler takes the height of a word from the face: 1069 over and 293 under the baseline of 1000; a line has 1020 and 280.
                const double more = 1 + 0.049 * points(one.text->size);
                const Rect& at = one.box->at;
                return word.left >= points(at.x) - 1 && word.right <= points(at.right()) + 1 &&
                       word.top >= points(at.y) - more && word.bottom <= points(at.bottom()) + more &&
                       without_blanks(one.text->utf8).find(word.text) != std::string::npos;
            };
            const auto in = std::find_if(laid.begin(), laid.end(), holds);
            if (in == laid.end())
                faults.push_back(fmt::format("page {}: “{}” at {:.1f}, {:.1f} is in no text", page + 1, word.text,
                                             word.left, word.top));
            else
                in->words.push_back(&word);
        }
        for (Laid& one : laid) {
            std::sort(one.words.begin(), one.words.end(),
                      [](const Word* a, const Word* b) { return a->left < b->left; });
            std::string all;
            for (const Word* word : one.words) all += word->text;
            if (all != without_blanks(one.text->utf8))
                faults.push_back(fmt::format("page {}: of “{}” there is “{}”", page + 1, one.text->utf8, all));
        }
    }
    return faults;
}

} // namespace

TEST_CASE("every word stands in the file where the layout put it") {
    std::size_t words = 0;
    for (const labels::Labels& labels : labels::languages())
        for (const Paper paper : {Paper::a4, Paper::a5}) {
            const auto work = demo_job(job_of("2026-0412"), paper, labels.language);
            REQUIRE(work->cards.size() == 4);
            const driver::PagedCard& card = work->cards[1];
            CAPTURE(labels.language);
            CAPTURE(name(paper));
            const auto found = words_of_file(written(card, fmt::format("words-{}-{}", labels.language, name(paper))));
            CHECK_NONE(word_faults(card.pages, found));
            for (const auto& page : found) words += page.size();
            if (labels.language != "en") continue;
            // The check looks: a text on another page, a word more, a box 3 pt further on.
            const auto spoiled = [&](const std::function<void(Box&)>& spoil) {
                Pages bad = card.pages;
                Box* first = nullptr;
                const std::function<void(Box&)> visit = [&](Box& box) {
                    if (first == nullptr && box.role == Role::why && std::holds_alternative<Text>(box.paint))
                        first = &box;
                    for (Box& child : box.children) visit(child);
                };
                for (Page& page : bad.pages)
                    for (Box& box : page.boxes) visit(box);
                REQUIRE(first != nullptr);
                spoil(*first);
                return word_faults(bad, found).size();
            };
            CHECK(spoiled([](Box&) {}) == 0);
            CHECK(spoiled([](Box& box) { std::get<Text>(box.paint).utf8 += " more"; }) > 0);
            CHECK(spoiled([](Box& box) { box.at.x += pt(3); }) > 0);
            CHECK(spoiled([](Box& box) { box.at.y += pt(3); }) > 0);
            CHECK(spoiled([](Box& box) { box.paint = Text{}; }) > 0);
            Pages turned = card.pages;
            std::swap(turned.pages[0], turned.pages[1]);
            CHECK(!word_faults(turned, found).empty());
        }
    CHECK(words > 5000);
}

namespace {

struct Alphabet {
    const char* language; // of the card's own words: there are no Russian ones
    const char* letters;
};
constexpr Alphabet alphabets[] = {
    {"el", "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩΆΈΉΊΌΎΏΪΫ αβγδεζηθικλμνξοπρσςτυφχψωάέήίόύώϊϋΐΰ"},
    {"pl", "AĄBCĆDEĘFGHIJKLŁMNŃOÓPQRSŚTUVWXYZŹŻ aąbcćdeęfghijklłmnńoópqrsśtuvwxyzźż"},
    {"en", "АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ абвгдеёжзийклмнопрстуфхцчшщъыьэюя"},
};

} // namespace

// check_pdf_glyphs.py compares each glyph that is shown with the original font's outline, and says which of the letters it did not see.
TEST_CASE("procedures in Greek, Polish and Russian print every letter, in both weights, on the page and in the form") {
    for (const Alphabet& alphabet : alphabets) {
        CAPTURE(alphabet.letters);
        const driver::Files files = {
            {"shop.yaml", "shop: mill\nname: Mill\n"},
            {"vehicles/fallow.yaml", "vehicle: fallow\nname: Fallow\n"},
            {"work.yaml",
             fmt::format("procedure: work\ntitle: \"{0}\"\nrevision: 1\nsteps:\n  - section: \"{0}\"\n  - say: "
                         "\"{0}.\"\n    why: \"{0}.\"\n  - ask: \"{0}?\"\n    if-so:\n      - record: \"{0}\"\n",
                         alphabet.letters)},
            {"jobs/2026-0001.yaml",
             "job: 2026-0001\nvehicle: fallow\nidentity: { registration: F 1 }\nmeter: 12 km\ndate: "
             "2026-11-26\ndo: [work]\n"}};
        const auto read = driver::link_shop(files);
        driver::PrintOptions options;
        options.language = alphabet.language;
        const auto work = driver::make_job(*read, linked::JobId(0), options);
        REQUIRE(work->cards.size() == 1);
        const std::string file = written(work->cards[0], fmt::format("letters-{}", alphabet.language));
        const std::string script = "/usr/bin/python3 " BENCHLEAF_SOURCE_DIR "/tests/outside/";
        const auto ran = outside::run(fmt::format("{}check_pdf_glyphs.py {} '{}'", script, file, alphabet.letters));
        INFO(ran.out);
        CHECK(ran.status == 0);
        CHECK(ran.out.find(" 0 damaged") != std::string::npos);
        CHECK(ran.out.find("does not show") == std::string::npos);
        // The text comes out again as it went in, too.
        CHECK(word_faults(work->cards[0].pages, words_of_file(file)).empty());
        const auto typed = outside::run(fmt::format("{}form.py font {} '{}'", script, file, alphabet.letters));
        INFO(typed.out);
        CHECK(typed.status == 0);
        if (&alphabet != alphabets) continue;
        // It can fail: a letter that no card here shows.
        const auto other = outside::run(fmt::format("{}check_pdf_glyphs.py {} Ж☃", script, file));
        CHECK(other.status == 1);
        CHECK(other.out.find("does not show U+2603") != std::string::npos);
        CHECK(outside::run(fmt::format("{}form.py font {} ☃", script, file)).status != 0);
    }
}
