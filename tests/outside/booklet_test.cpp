// The booklet of a job, read back by other people's programs: bookmarks and the names of pages by qpdf and mupdf, what a page says by
// poppler, its fields and its attachment by qpdf.
#include "driver/pipeline.h"
#include "outside/demo.h"
#include "outside/tools.h"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <functional>
#include <set>
#include <sstream>

using namespace benchleaf;
using nlohmann::json;

namespace {

using outside::files;
using outside::shop;

struct Bound {
    std::string file;
    std::string bytes;
    std::string sources;
    std::unique_ptr<driver::Work> work; // its pages are in the file
    std::vector<std::size_t> pages;     // of the cover sheet, then of each card
};

Bound bound(std::size_t job, const std::string& language = "en", pages::Paper paper = pages::Paper::a4) {
    driver::PrintOptions options;
    options.language = language;
    options.paper = paper;
    Bound made;
    made.work = driver::make_job(shop(), linked::JobId(job), options);
    made.pages.push_back(made.work->cover ? made.work->cover->pages.pages.size() : 0);
    for (const driver::PagedCard& each : made.work->cards) made.pages.push_back(each.pages.pages.size());
    made.sources = driver::sources_of(shop(), *made.work, files());
    auto painted = driver::booklet_of(*made.work, {true, made.sources});
    if (!painted) FAIL(painted.failure().what);
    made.bytes = std::move(painted.value());
    made.file =
        fmt::format("{}/{}-{}-{}.pdf", outside::scratch("booklet"), made.work->name, language, pages::name(paper));
    outside::write(made.file, made.bytes);
    return made;
}

json asked(const Bound& of, const std::string& keys) {
    const auto ran = outside::run("qpdf --json=2 " + keys + " " + of.file);
    REQUIRE(ran.status == 0);
    return json::parse(ran.out);
}

// "u:2-" is how qpdf writes a text.
std::string plain(const json& text) {
    std::string said = text.get<std::string>();
    return said.starts_with("u:") ? said.substr(2) : said;
}

} // namespace

TEST_CASE("a booklet has a bookmark for its cover sheet, for each card, and under it for each section") {
    for (std::size_t job = 0; job < shop().linked.jobs.size(); ++job)
        for (const char* language : {"en", "el"}) {
            const Bound made = bound(job, language);
            CAPTURE(made.file);
            CHECK(outside::run("qpdf --check " + made.file).status == 0);
            const json outlines = asked(made, "--json-key=outlines")["outlines"];
            REQUIRE(outlines.size() == made.work->cards.size() + 1);
            CHECK(outlines[0]["title"] == made.work->cover->cover.head.title);
            CHECK(outlines[0]["destpageposfrom1"] == 1);
            std::size_t first = made.pages[0] + 1;
            std::vector<std::string> titles{outlines[0]["title"].get<std::string>()};
            for (std::size_t i = 0; i < made.work->cards.size(); ++i) {
                const card::Card& card = made.work->cards[i].card;
                const json& mark = outlines[i + 1];
                CAPTURE(card.file_stem);
                CHECK(mark["title"] == fmt::format("{}  {}", i + 1, card.head.title));
                CHECK(mark["destpageposfrom1"] == first);
                titles.push_back(mark["title"]);
                std::vector<std::string> sections, marks;
                for (const card::Section& section : card.sections)
                    if (!section.title.empty() && !section.rows.empty()) sections.push_back(section.title);
                std::size_t last = first;
                for (const json& kid : mark["kids"]) {
                    marks.push_back(kid["title"]);
                    titles.push_back(marks.back());
                    const auto page = kid["destpageposfrom1"].get<std::size_t>();
                    CHECK(page >= last);
                    CHECK(page < first + made.pages[i + 1]);
                    last = page;
                }
                CHECK(marks == sections);
                first += made.pages[i + 1];
            }
            // Another reader finds the same.
            std::stringstream lines(outside::run("mutool show " + made.file + " outline").out);
            std::vector<std::string> by_mupdf;
            for (std::string line; std::getline(lines, line);) {
                const std::size_t open = line.find('"'), close = line.rfind('"');
                if (open != std::string::npos && close > open)
                    by_mupdf.push_back(line.substr(open + 1, close - open - 1));
            }
            CHECK(by_mupdf == titles);
        }
}

TEST_CASE("pages are called after card and page, the cover sheet's by roman numbers") {
    const Bound made = bound(0);
    const json labels = asked(made, "--json-key=pagelabels")["pagelabels"];
    REQUIRE(labels.size() == made.work->cards.size() + 1);
    CHECK(labels[0]["index"] == 0);
    CHECK(labels[0]["label"]["/S"] == "/r");
    std::size_t first = made.pages[0];
    for (std::size_t i = 1; i < labels.size(); ++i) {
        CHECK(labels[i]["index"] == first);
        CHECK(labels[i]["label"]["/S"] == "/D");
        CHECK(plain(labels[i]["label"]["/P"]) == fmt::format("{}-", i));
        first += made.pages[i];
    }
}

TEST_CASE("each page says its page of the card, its sheet of the booklet, and whose it is") {
    for (std::size_t job = 0; job < shop().linked.jobs.size(); ++job) {
        const Bound made = bound(job);
        CAPTURE(made.file);
        std::size_t sheets = 0;
        for (const std::size_t pages : made.pages) sheets += pages;
        std::size_t sheet = 0;
        for (std::size_t leaf = 0; leaf < made.pages.size(); ++leaf)
            for (std::size_t page = 1; page <= made.pages[leaf]; ++page) {
                ++sheet;
                const std::string words =
                    outside::run(fmt::format("pdftotext -layout -f {0} -l {0} {1} -", sheet, made.file)).out;
                CAPTURE(sheet);
                CHECK(words.find(fmt::format("sheet {} of {}", sheet, sheets)) != std::string::npos);
                CHECK(words.find("job " + made.work->name) != std::string::npos);
                if (leaf == 0) continue;
                CHECK(words.find(fmt::format("page {} of {}", page, made.pages[leaf])) != std::string::npos);
                CHECK(words.find(fmt::format("card {} of {}", leaf, made.pages.size() - 1)) != std::string::npos);
                const card::Cover& cover = made.work->cover->cover;
                if (!cover.customer.empty()) CHECK(words.find(cover.customer) == std::string::npos);
            }
    }
}

TEST_CASE("fields are named once in the whole booklet, each says for which card it is") {
    const Bound made = bound(1);
    const json form = asked(made, "--json-key=acroform")["acroform"];
    std::set<std::string> names, says;
    for (const json& field : form["fields"]) {
        const auto name = field["fullname"].get<std::string>();
        CHECK_MESSAGE(names.insert(name).second, name);
        const auto words = field["alternativename"].get<std::string>();
        CHECK(!words.empty());
        if (!name.starts_with("card-")) {
            CHECK(name.starts_with("cover/"));
            continue;
        }
        const std::string number = name.substr(5, name.find('/') - 5);
        CHECK(words.starts_with("card " + number + " of 14 · "));
    }
    CHECK(names.size() > 1000);
    CHECK(names.contains("cover/card-14"));
    CHECK(names.contains("card-7/step-1/tick/1"));
}

TEST_CASE(
    "what the booklet was made of is attached once; it has a title, a shop and a vehicle, and no customer among them") {
    const Bound made = bound(0);
    CHECK(outside::run("pdfdetach -list " + made.file).out == "1 embedded files\n1: 2026-0412.sources.yaml\n");
    CHECK(outside::run("qpdf --show-attachment=2026-0412.sources.yaml " + made.file).out == made.sources);
    const std::string info = outside::run("pdfinfo " + made.file).out;
    CHECK(info.find("job 2026-0412\n") != std::string::npos);
    CHECK(info.find("Ostrel Haul 300, TX 30 418, 2026-0412\n") != std::string::npos);
    CHECK(info.find("Fernhollow Works\n") != std::string::npos);
    CHECK(info.find(made.work->cover->cover.customer) == std::string::npos);
    CHECK(info.find("Date") == std::string::npos);
}

TEST_CASE("the same job makes the same booklet") {
    CHECK(bound(1).bytes == bound(1).bytes);
    CHECK(bound(0, "pl", pages::Paper::a5).bytes == bound(0, "pl", pages::Paper::a5).bytes);
}
