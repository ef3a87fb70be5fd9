// The fields of a card's form: every box that somebody writes in has one with a name and words of its own, where nothing is printed. Over
// all cards of the demo shop and of the valid shops, on each paper.
#include "driver/pipeline.h"
#include "driver/shop_files.h"
#include "pages/field_words.h"
#include "pages/lay_out.h"
#include "pdf/form.h"
#include "pdf/paint.h"

#include "properties/sample_card.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <functional>
#include <set>

using namespace benchleaf;
using pages::Box;
using pages::Role;

namespace {

void each_box(const std::vector<Box>& boxes, const std::function<void(const Box&)>& see) {
    for (const Box& box : boxes) {
        see(box);
        each_box(box.children, see);
    }
}

std::vector<pdf::Field> fields(const pages::Pages& pages) {
    auto found = pdf::fields_of(pages);
    if (!found) FAIL(found.failure().what);
    return std::move(found.value());
}

template <class Leaf>
std::size_t look_at(const Leaf& card, const pages::Pages& pages) {
    CAPTURE(card.file_stem);
    const auto all = fields(pages);
    const auto words = pages::field_words(card, pages);
    const pages::Size size = pages::size_of(pages.paper);
    std::size_t boxes = 0;
    for (const pages::Page& page : pages.pages)
        each_box(page.boxes, [&](const Box& box) { boxes += pages::is_written_in(box.role) ? 1 : 0; });
    CHECK(all.size() == boxes);
    std::set<std::string> said;
    std::set<std::string> names;
    for (const pdf::Field& field : all) {
        CAPTURE(field.name);
        REQUIRE(words.contains(field.name));
        const std::string& says = words.find(field.name)->second;
        CHECK(!says.empty());
        // A tick and a box to write in tell themselves apart.
        if (names.insert(field.name).second)
            CHECK_MESSAGE(said.insert((field.role == Role::tick ? "tick " : "") + says).second, says);
        CHECK(pages::Rect{0, 0, size.width, size.height}.holds(field.at));
        CHECK(field.at.width >= pages::pt(20) - (field.role == Role::tick ? pages::pt(8) : 0));
        CHECK(field.at.height >= pages::pt(10));
        for (const pdf::Field& other : all)
            if (&other != &field && other.page == field.page) CHECK(!other.at.meets(field.at));
        each_box(pages.pages[field.page].boxes, [&](const Box& box) {
            if (const auto* text = std::get_if<pages::Text>(&box.paint)) {
                CAPTURE(text->utf8);
                // A line of text has white over and under its letters: what may not meet is what is inked.
                const pages::Rect ink{box.at.x, text->baseline - text->size * 3 / 4, box.at.width, text->size * 3 / 4};
                CHECK(!field.at.meets(ink));
            }
        });
    }
    return all.size();
}

std::size_t look_at_shop(const std::string& folder) {
    const auto read = driver::read_shop(folder);
    REQUIRE(read.ok());
    const auto shop = driver::link_shop(read.value().files);
    std::size_t count = 0;
    for (std::size_t job = 0; job < shop->linked.jobs.size(); ++job)
        for (const pages::Paper paper : {pages::Paper::a4, pages::Paper::letter, pages::Paper::a5}) {
            if (BENCHLEAF_TIME_SLACK > 5 && paper != pages::Paper::a5)
                continue; // a slow build looks where they stand closest
            driver::PrintOptions options;
            options.paper = paper;
            CAPTURE(pages::name(paper));
            const auto work = driver::make_job(*shop, linked::JobId(job), options);
            for (const driver::PagedCard& each : work->cards) count += look_at(each.card, each.pages);
            if (work->cover) count += look_at(work->cover->cover, work->cover->pages);
        }
    return count;
}

pages::Pages one_page(std::vector<Box> boxes) {
    pages::Pages pages;
    pages.pages.emplace_back().boxes = std::move(boxes);
    return pages;
}

Box tick(std::string name, pages::Length x = pages::mm(20)) {
    return {{x, pages::mm(20), pages::mm(6), pages::mm(6)}, Role::tick, std::move(name), {}, {}};
}

std::string refusal(const pages::Pages& pages) {
    const pages::FieldWords words;
    const auto made = pdf::paint(pages, {}, {&words, {}});
    return made ? "painted" : made.failure().what;
}

} // namespace

TEST_CASE("each box to write in is a field of its own, named, explained, and clear of what is printed") {
    std::size_t count = look_at_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    for (const auto& folder : std::filesystem::directory_iterator(BENCHLEAF_SOURCE_DIR "/tests/valid"))
        if (folder.is_directory()) count += look_at_shop(folder.path().string());
    MESSAGE(count << " fields");
    CHECK(count > 10000);
}

TEST_CASE("likewise on cards that have one of everything") {
    for (const card::Card& card : {sample::sketch_card(), sample::full_card(), sample::blank_card()})
        for (const pages::Paper paper : {pages::Paper::a4, pages::Paper::a5}) {
            messages::Messages said;
            const auto pages = pages::lay_out(card, paper, said);
            REQUIRE(pages);
            look_at(card, *pages);
        }
}

TEST_CASE("what a field is for") {
    const auto read = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
    REQUIRE(read.ok());
    const auto shop = driver::link_shop(read.value().files);
    pages::FieldWords words;
    for (std::size_t job = 0; job < shop->linked.jobs.size(); ++job) {
        const auto work = driver::make_job(*shop, linked::JobId(job), {});
        for (const driver::PagedCard& each : work->cards)
            for (auto& [name, says] : pages::field_words(each.card, each.pages))
                words[each.card.file_stem + " " + name] = says;
    }
    const auto says = [&](const std::string& name) {
        const auto found = words.find(name);
        return found == words.end() ? "no such field" : found->second;
    };
    const std::string disc = "2026-0412-2-front-disc-service ";
    CHECK(says(disc + "before/state-1") == "The vehicle stands like this · rear held still: held");
    CHECK(says(disc + "before/protection-2") == "Protection · goggles");
    CHECK(says(disc + "step-3/tick/2") == "3. Bag the paper at once. · R");
    CHECK(says(disc + "step-5/reading-1/1") ==
          "5. Measure the disc at its thinnest, inside its worn lip. · disc thickness · L · mm");
    CHECK(says(disc + "step-7/reading-1/2/8") ==
          "7. Turn the disc under the dial gauge. · disc runout · R · 8 / 8 · mm");
    CHECK(says(disc + "step-9/no/1") == "9. Is all of this so, left and right? · no");
    CHECK(says(disc + "step-16/reading-2/2") ==
          "16. Measure each lining at its thinnest point, without the back plate. · "
          "lining thickness · outer brake pad · R · mm");
    CHECK(says(disc + "step-35/torque-1/initials/1") ==
          "35. Torque: lower guide bolt · lower guide bolt · initials · L");
    CHECK(says(disc + "step-35/second-check/2") == "35. Torque: lower guide bolt · Second check · R");
    CHECK(says(disc + "step-20/grade-3/2").ends_with(" · act now · R"));
    CHECK(says(disc + "findings/also/2") == "Also found · 2");
    CHECK(says(disc + "stopped/3") == "Work stopped here · at step");
    CHECK(says(disc + "close-out/1") == "lower guide bolt at 23\u00A0N·m, left and right");
    CHECK(says(disc + "close-out/3/1") ==
          "medium thread-locker on: lower guide bolt, left and right · last applied __:__ + 20\u00A0min · 1");
    CHECK(says(disc + "sign-off/1") == "done by");
    CHECK(says("2026-0412-3-front-wheels-on step-13/torque-1/fastener/2/3").ends_with("front wheel nut · L · 3 / 4"));
    CHECK(says("2026-0418-01-engine-oil-change step-24/torque-1/stage-2/1").ends_with("oil filter · +270°"));
    CHECK(says("2026-0418-08-brake-fluid-change step-26/torque-1/initials/1/again-2").ends_with("initials · L · ↻ 2"));
    CHECK(says("2026-0418-05-spark-plug-service step-13/round-2/1").ends_with(" · no 2 · 1"));
}

TEST_CASE("a box to write in that no field could be made of is refused") {
    CHECK(refusal(one_page({tick("step-1/tick/1"), tick("step-1/tick/2", pages::mm(30))})) == "painted");
    CHECK(refusal(one_page({tick("")})) == "page 1: box tick : it has no name that a form field can bear");
    CHECK(refusal(one_page({tick("step-1.5/tick/1")})) ==
          "page 1: box tick step-1.5/tick/1: it has no name that a form field can bear");
    CHECK(refusal(one_page({tick("step-1/tick/1"), tick("step-1/tick/1", pages::mm(30))})) ==
          "page 1: box tick step-1/tick/1: it has the name of another");
    pages::Pages two = one_page({tick("step-1/tick/1")});
    two.pages.push_back(two.pages.front());
    CHECK(refusal(two) == "page 2: box tick step-1/tick/1: it has the name of another");
    // Only the head stands on every page, and what is written in it is the same on all.
    Box head{{0, 0, pages::mm(100), pages::mm(30)}, Role::head, "", {}, {tick("head/1")}};
    pages::Pages heads = one_page({head});
    heads.pages.push_back(heads.pages.front());
    CHECK(refusal(heads) == "painted");
}
