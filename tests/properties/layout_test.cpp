// The rules of layout (layout_rules.h) on A4, Letter and A5, for the cards made by hand and for cards made up by a generator with a fixed
// seed. The rules are themselves tested on pages that are spoiled on purpose.
#include "pages/lay_out.h"

#include "driver/pipeline.h"
#include "labels/labels.h"
#include "pages/bind.h"
#include "pages/check.h"
#include "pages/set_text.h"
#include "properties/layout_rules.h"
#include "properties/sample_card.h"
#include "text/text.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <random>
#include <set>
#include <string>
#include <vector>

using namespace benchleaf;
using namespace benchleaf::pages;
using namespace benchleaf::layout_rules;

namespace {

card::Card small_card(card::Step step) {
    card::Card card;
    card.language = "en";
    card.head = sample::head();
    card.words = sample::words();
    card.foot.text = "Follow the maker's service manual.";
    card::Section section;
    section.title = "Work";
    section.columns = {"L", "R"};
    std::uint32_t number = 0;
    sample::add_row(section, number, std::move(step), {true, true});
    card.sections.push_back(std::move(section));
    return card;
}

} // namespace

TEST_CASE("the cards made by hand keep every rule on every paper") {
    for (const Paper paper : papers) {
        CAPTURE(name(paper));
        check_all(sample::sketch_card(), laid(sample::sketch_card(), paper));
        check_all(sample::full_card(), laid(sample::full_card(), paper));
        check_all(sample::blank_card(), laid(sample::blank_card(), paper));
    }
}

TEST_CASE("the rules find pages that are spoiled on purpose") {
    const Pages good = laid(sample::sketch_card(), Paper::a4);
    REQUIRE(faults_of(good).empty());
    const auto spoiled = [&](Role role, const std::function<void(Box&)>& spoil) {
        Pages bad = good;
        bool done = false;
        const std::function<void(Box&)> visit = [&](Box& box) {
            for (Box& child : box.children) visit(child);
            if (!done && box.role == role) {
                spoil(box);
                done = true;
            }
        };
        for (Page& page : bad.pages)
            for (Box& box : page.boxes) visit(box);
        REQUIRE(done);
        return !faults_of(bad).empty();
    };
    CHECK(spoiled(Role::tick, [](Box& b) { b.at.width = mm(4.9); }));
    CHECK(spoiled(Role::tick, [](Box& b) { b.at.x = mm(17); }));
    CHECK(spoiled(Role::tick, [](Box& b) { b.name = "step-1/tick/2"; }));
    CHECK(spoiled(Role::reading_box, [](Box& b) { b.at.height = mm(8.9); }));
    CHECK(spoiled(Role::signature_box, [](Box& b) { b.at.width = mm(34); }));
    CHECK(spoiled(Role::number, [](Box& b) { b.at.width += mm(20); }));
    CHECK(spoiled(Role::torque_figure, [](Box& b) { std::get<Text>(b.paint).size = pt(11); }));
    CHECK(spoiled(Role::limit_figure, [](Box& b) { std::get<Text>(b.paint).face = fonts::Face::regular; }));
    CHECK(spoiled(Role::why, [](Box& b) { std::get<Text>(b.paint).size = pt(8); }));
    CHECK(spoiled(Role::why, [](Box& b) { std::get<Text>(b.paint).utf8 += " and more than fits in that box"; }));
    CHECK(spoiled(Role::why, [](Box& b) { std::get<Text>(b.paint).baseline += pt(20); }));
    // the other rules, on what was taken away
    Pages short_card = good;
    std::erase_if(short_card.pages[1].boxes, [](const Box& b) { return b.role == Role::body; });
    CHECK_FALSE(order_faults(sample::sketch_card(), short_card).empty());
    CHECK_FALSE(fill_faults(card::Card(),
                            [&] {
                                Pages early = good;
                                for (Page& page : early.pages)
                                    for (Box& box : page.boxes)
                                        if (box.role == Role::body) box.children.resize(1);
                                for (Box& box : early.pages[1].boxes)
                                    if (box.role == Role::body) box.children.front().at.height = pt(20);
                                for (Box& box : early.pages[0].boxes)
                                    if (box.role == Role::body) box.children.front().at.height = pt(20);
                                return early;
                            }())
                    .empty());
    Pages no_heads = good;
    for (Page& page : no_heads.pages)
        for (Box& box : page.boxes)
            for (Box& section : box.children)
                if (section.role == Role::section) section.children.erase(section.children.begin());
    CHECK_FALSE(head_faults(no_heads).empty());
}

TEST_CASE("same card, same boxes") {
    for (const Paper paper : papers) {
        CHECK(laid(sample::sketch_card(), paper) == laid(sample::sketch_card(), paper));
        CHECK(dump(laid(sample::sketch_card(), paper)) == dump(laid(sample::sketch_card(), paper)));
    }
}

namespace {

const driver::Shopful& demo() {
    static const auto shop = [] {
        const auto read = driver::read_shop(BENCHLEAF_SOURCE_DIR "/procedures");
        REQUIRE(read.ok());
        return driver::link_shop(read.value().files);
    }();
    return *shop;
}

std::string words_on(const Page& page) {
    std::string all;
    for (const Box& box : page.boxes) all += words_in(box);
    return all;
}

// Every tick of a cover sheet once and in order, on whatever page and in whatever column.
std::vector<std::string> ticks_on(const Pages& all) {
    std::vector<std::string> names;
    walk(all, [&](const Box& box, const Above&) {
        if (box.role == Role::tick) names.push_back(box.name);
    });
    return names;
}

std::vector<std::string> ticks_of(const card::Cover& cover) {
    std::vector<std::string> names;
    for (const card::CoverCard& card : cover.cards) names.push_back(fmt::format("cover/card-{}", card.number));
    for (const card::CoverList& list : cover.fetch)
        for (std::size_t i = 0; i < list.lines.size(); ++i)
            names.push_back(fmt::format("cover/{}-{}", list.name, i + 1));
    for (std::size_t i = 0; i < cover.signs.size(); ++i)
        for (const char* what : {"does", "checks"}) names.push_back(fmt::format("cover/sign-{}/{}", i + 1, what));
    return names;
}

} // namespace

TEST_CASE("a wide box for what is worked once stands under all heads of its section, or is found") {
    const auto find = [](const std::string& name) {
        for (std::size_t job = 0; job < demo().linked.jobs.size(); ++job)
            if (demo().linked.jobs[job].source->id.value == name) return linked::JobId(job);
        FAIL("no such job");
        return linked::JobId(0);
    };
    const auto work = driver::make_job(demo(), find("2026-0418"), {});
    Pages pages; // of all cards: on which page a wide box meets two heads is for the filling of pages to say
    for (const driver::PagedCard& each : work->cards)
        pages.pages.insert(pages.pages.end(), each.pages.pages.begin(), each.pages.pages.end());
    REQUIRE(head_faults(pages).empty());
    std::size_t cut = 0;
    const std::function<void(Box&)> visit = [&](Box& box) {
        if (box.role == Role::tick && box.at.width > box.at.height && box.name.find("/tick/") != std::string::npos) {
            box.at.width = box.at.height + 1;
            ++cut;
        }
        for (Box& child : box.children) visit(child);
    };
    for (Page& page : pages.pages)
        for (Box& box : page.boxes) visit(box);
    REQUIRE(cut > 0);
    CHECK_FALSE(head_faults(pages).empty());
}

TEST_CASE("the cover sheets of the demo jobs keep every rule, on every paper and in every language") {
    std::map<std::pair<Paper, std::string>, std::size_t> long_ones;
    for (std::size_t job = 0; job < demo().linked.jobs.size(); ++job)
        for (const labels::Labels& words : labels::languages())
            for (const Paper paper : papers) {
                if (BENCHLEAF_TIME_SLACK > 5 && words.language != "en" && words.language != "de") continue; // slow
                driver::PrintOptions options;
                options.paper = paper;
                options.language = words.language;
                const auto work = driver::make_job(demo(), linked::JobId(job), options);
                CAPTURE(work->name);
                CAPTURE(words.language);
                CAPTURE(name(paper));
                REQUIRE(work->cover);
                const Pages& pages = work->cover->pages;
                CHECK_NONE(cover_faults(pages));
                CHECK(ticks_on(pages) == ticks_of(work->cover->cover));
                const std::string first = words_on(pages.pages.front());
                CHECK(first.find("TX ") != std::string::npos);
                CHECK(first.find(work->name) != std::string::npos);
                // On which sheets each card stands.
                std::string all;
                for (const Page& page : pages.pages) all += words_on(page);
                std::size_t sheet = pages.pages.size() + 1;
                for (const driver::PagedCard& card : work->cards) {
                    const std::size_t count = card.pages.pages.size();
                    const std::string says =
                        count == 1 ? fmt::format(" {} ", sheet) : fmt::format(" {}–{} ", sheet, sheet + count - 1);
                    CHECK_MESSAGE(all.find(says) != std::string::npos, says);
                    sheet += count;
                }
                if (pages.pages.size() > 1) ++long_ones[{paper, std::string(words.language)}];
            }
    // One page of A4 holds what two to six cards take in English; Letter is lower, and German longer.
    for (const char* language : {"en", "de"})
        for (const Paper paper : {Paper::a4, Paper::letter}) {
            const std::size_t count = long_ones[std::pair(paper, std::string(language))];
            CAPTURE(language);
            CAPTURE(name(paper));
            CHECK(count <= (paper == Paper::letter ? 5 : 3));
        }
}

TEST_CASE("blank cards of the demo shop keep every rule, and say that they are blank") {
    std::size_t count = 0;
    for (std::size_t procedure = 0; procedure < demo().linked.procedures.size(); ++procedure)
        for (std::size_t vehicle = 0; vehicle < demo().linked.vehicles.size(); ++vehicle)
            for (const Paper paper : papers) {
                driver::PrintOptions options;
                options.paper = paper;
                const auto work =
                    driver::make_blank(demo(), linked::ProcedureId(procedure), linked::VehicleId(vehicle), options);
                if (work->cards.empty()) continue; // does not fit the vehicle
                ++count;
                CAPTURE(work->name);
                CAPTURE(name(paper));
                CHECK(!work->cover);
                const driver::PagedCard& blank = work->cards.front();
                check_all(blank.card, blank.pages);
                for (const Page& page : blank.pages.pages) {
                    const std::string words = words_on(page);
                    CHECK(words.find("BLANK CARD") != std::string::npos);
                    for (const char* field : {"registration", "meter reading", "date"})
                        CHECK(words.find(field) != std::string::npos);
                    // Nothing of a day or a visit: no date of a calibration, no last reading, no next service.
                    CHECK(words.find("202") == std::string::npos);
                    CHECK(words.find("calibrated") == std::string::npos);
                    CHECK(words.find("earlier record") == std::string::npos);
                    CHECK(words.find("next service at") == std::string::npos);
                    std::size_t lines = 0;
                    walk(page, [&](const Box& box, const Above& above) {
                        if (box.role == Role::write_line && !above.empty() && above.front()->role == Role::head) {
                            ++lines;
                            CHECK(box.at.width >= mm(18));
                        }
                    });
                    CHECK(lines == 3);
                }
            }
    CHECK(count > 30);
}

TEST_CASE("made-up cover sheets keep every rule and lose nothing") {
    std::mt19937 random(20261126);
    const auto below = [&](std::size_t n) { return static_cast<std::size_t>(random() % n); };
    const auto text = [&](std::size_t most) {
        static const char* const words[] = {
            "bolt", "Drehmomentschlüsselverlängerung", "24 N·m", "of", "κινητήρας", "śruba", "AB-12/7-XX", "двигатель"};
        std::string all;
        for (std::size_t n = 1 + below(most); n > 0; --n)
            all += (all.empty() ? "" : " ") + std::string(words[below(std::size(words))]);
        return all;
    };
    std::size_t pages_of_all = 0;
    constexpr int rounds = BENCHLEAF_TIME_SLACK > 5 ? 15 : 150; // a slow build looks at fewer
    for (int round = 0; round < rounds; ++round) {
        card::Cover cover;
        cover.language = "en";
        cover.head = sample::head();
        cover.words = sample::words();
        cover.head.vehicle = text(6);
        cover.foot.text = "Follow the maker's service manual.";
        cover.own = sample::cover().own;
        if (below(2) == 0) cover.customer = text(8);
        if (below(2) == 0) cover.says = text(1 + below(300));
        if (below(2) == 0) cover.minutes = "35–50 min";
        std::vector<CardPages> counts;
        for (std::size_t n = 1 + below(40); n > 0; --n) {
            const std::string title = text(9);
            cover.cards.push_back({static_cast<std::uint32_t>(counts.size() + 1), title, below(2) == 0 ? "" : "5 min"});
            counts.push_back({1 + below(12), std::vector<std::size_t>(below(30), 1)});
        }
        for (const char* name : {"wrench", "socket", "tool", "consumable", "renew", "may-need", "protection"}) {
            card::CoverList list{text(3), name, {}};
            for (std::size_t n = below(round % 3 == 0 ? 60 : 12); n > 0; --n) {
                card::CoverLine line;
                line.text = text(7);
                if (below(2) == 0) line.amount = "120 mL";
                if (list.name == "wrench") line.about = text(5);
                for (std::uint32_t card = 1; card <= counts.size(); ++card)
                    if (below(4) == 0) line.cards.push_back(card);
                list.lines.push_back(std::move(line));
            }
            if (!list.lines.empty()) cover.fetch.push_back(std::move(list));
        }
        cover.stopped = text(12);
        cover.check_rule = text(9);
        for (std::size_t n = below(round % 4 == 0 ? 50 : 8); n > 0; --n)
            cover.torques.push_back(
                {static_cast<std::uint32_t>(1 + below(counts.size())), static_cast<std::uint32_t>(1 + below(40)),
                 below(3) == 0 ? "30 N·m while turning, back 90°, 8 N·m" : "77 N·m", text(6), text(9)});
        for (std::size_t n = below(9); n > 0; --n) cover.signs.push_back(fmt::format("A{}", n));
        for (const Paper paper : papers) {
            CAPTURE(round);
            CAPTURE(name(paper));
            messages::Messages said;
            const auto all = lay_out(cover, counts, paper, said, round % 2 == 0 ? Bound::yes : Bound::no);
            for (const auto& message : said.all()) MESSAGE(message.text);
            REQUIRE(all);
            CHECK_NONE(cover_faults(*all));
            CHECK(ticks_on(*all) == ticks_of(cover));
            pages_of_all += all->pages.size();
            std::string words;
            for (const Page& page : all->pages) words += words_on(page);
            const auto count = [&](const std::string& of) {
                std::size_t found = 0;
                for (std::size_t from = 0; (from = words.find(of, from)) != std::string::npos; ++from) ++found;
                return found;
            };
            std::size_t amounts = 0;
            for (const card::CoverList& list : cover.fetch)
                for (const card::CoverLine& line : list.lines) amounts += line.amount.empty() ? 0 : 1;
            CHECK(count("120 mL") == amounts);
            CHECK(count("77 N·m") + count("back 90°") == cover.torques.size());
        }
    }
    CHECK(pages_of_all > 4 * rounds); // some are long
}

TEST_CASE("the cover sheet says which card each thing is for, in as few figures as can be") {
    CHECK(card::numbers({}).empty());
    CHECK(card::numbers({3}) == "3");
    CHECK(card::numbers({1, 2}) == "1, 2");
    CHECK(card::numbers({1, 2, 3, 5, 7, 8, 9, 14}) == "1–3, 5, 7–9, 14");
}

TEST_CASE("a text without a glyph on a cover sheet is an error that names the place") {
    card::Cover cover;
    cover.language = "en";
    cover.head = sample::head();
    cover.words = sample::words();
    cover.says = "It rattles 異音.";
    cover.own.says = "The customer says";
    messages::Messages said;
    CHECK_FALSE(lay_out(cover, {}, Paper::a4, said, Bound::no));
    REQUIRE(said.all().size() == 1);
    CHECK(said.all()[0].rule == &checks::no_glyph.rule);
    CHECK(said.all()[0].text.starts_with("the customer's part of the cover sheet holds"));
}

TEST_CASE("bound together, every leaf says its sheet and keeps all else of it but the names of its boxes") {
    for (const Paper paper : papers)
        for (std::size_t job = 0; job < demo().linked.jobs.size(); ++job) {
            driver::PrintOptions options;
            options.paper = paper;
            const auto work = driver::make_job(demo(), linked::JobId(job), options);
            CAPTURE(work->name);
            CAPTURE(name(paper));
            std::vector<Pages> leaves;
            for (const driver::PagedCard& each : work->cards) leaves.push_back(each.pages);
            std::vector<Leaves> cards;
            for (std::size_t i = 0; i < leaves.size(); ++i) cards.push_back({&work->cards[i].card, &leaves[i]});
            Pages cover = work->cover->pages;
            const Booklet booklet = pages::bind(&work->cover->cover, &cover, cards);
            const std::size_t count = booklet.pages.pages.size();
            std::set<std::string> names;
            for (std::size_t i = 0; i < count; ++i)
                CHECK(words_on(booklet.pages.pages[i]).find(fmt::format("sheet {} of {}", i + 1, count)) !=
                      std::string::npos);
            walk(booklet.pages, [&](const Box& box, const Above&) {
                if (!is_written_in(box.role)) return;
                CHECK(names.insert(box.name).second);
                CHECK(booklet.words.contains(box.name));
            });
            CHECK_NONE(faults_of(booklet.pages));
            // Bodies are those of the leaves.
            std::size_t page = work->cover->pages.pages.size();
            for (const driver::PagedCard& each : work->cards)
                for (std::size_t i = 0; i < each.pages.pages.size(); ++i, ++page) {
                    const std::string leaf = words_in(*body_of(each.pages.pages[i]));
                    CHECK(words_in(*body_of(booklet.pages.pages[page])) == leaf);
                }
            CHECK(page == count);
            for (std::size_t i = 1; i < booklet.bookmarks.size(); ++i)
                CHECK(booklet.bookmarks[i - 1].page <= booklet.bookmarks[i].page);
        }
}

TEST_CASE("every page has head, code square and foot; the code square has its quiet zone") {
    for (const Paper paper : papers) {
        const Pages all = laid(sample::full_card(), paper);
        std::size_t number = 0;
        for (const Page& page : all.pages) {
            ++number;
            std::map<Role, int> count;
            const Box* square = nullptr;
            std::string words;
            walk(page, [&](const Box& box, const Above& above) {
                ++count[box.role];
                if (box.role == Role::qr) square = &box;
                if (!above.empty() && above.front()->role == Role::head)
                    if (const auto* text = std::get_if<Text>(&box.paint)) words += text->utf8 + " ";
            });
            CHECK(count[Role::head] == 1);
            CHECK(count[Role::foot] == 1);
            CHECK(words.find(fmt::format("page {} of {}", number, all.pages.size())) != std::string::npos);
            CHECK(words.find("12 460 km") != std::string::npos);
            CHECK(words.find("OH3-00417") != std::string::npos);
            REQUIRE(square != nullptr);
            const auto& qr = std::get<Qr>(square->paint);
            CHECK(square->at.width == square->at.height);
            CHECK(qr.modules.size() == static_cast<std::size_t>(qr.side) * static_cast<std::size_t>(qr.side));
            const Length module = square->at.width / qr.side;
            CHECK(module >= mm(0.4)); // a telephone's camera reads that from 20 cm; common practice
            const Rect quiet{square->at.x - 4 * module, square->at.y - 4 * module, square->at.width + 8 * module,
                             square->at.height + 8 * module}; // ISO/IEC 18004, 6.3.8
            CHECK(quiet.x >= 0);
            CHECK(quiet.y >= 0);
            CHECK(quiet.right() <= size_of(paper).width);
            walk(page, [&](const Box& box, const Above&) {
                if (&box == square || std::holds_alternative<std::monostate>(box.paint)) return;
                CHECK_FALSE(quiet.meets(box.at));
            });
        }
    }
}

TEST_CASE("a row without a panel uses the full width, a figure is the largest thing in its row") {
    const Pages all = laid(sample::sketch_card(), Paper::a4);
    bool wide = false;
    walk(all, [&](const Box& box, const Above& above) {
        if (!is_row(box.role) || box.name.empty() || row_of(above) != nullptr) return;
        Length figure = 0;
        Length other = 0;
        bool panel = false;
        Above inside;
        walk(box, inside, [&](const Box& one, const Above&) {
            panel = panel || one.role == Role::panel;
            const auto* text = std::get_if<Text>(&one.paint);
            if (text == nullptr || one.role == Role::mark) return;
            const bool counts = one.role == Role::torque_figure || one.role == Role::limit_figure;
            (counts ? figure : other) = std::max(counts ? figure : other, text->size);
            if (!panel && one.role == Role::text && one.at.right() > box.at.x + box.at.width * 6 / 10) wide = true;
        });
        if (figure != 0) CHECK(figure > other);
    });
    CHECK(wide);
}

TEST_CASE("levels of caution differ without colour, in this order of black") {
    std::map<card::Level, std::int64_t> black;
    for (const card::Level level :
         {card::Level::danger, card::Level::warning, card::Level::caution, card::Level::notice}) {
        card::Step step = sample::step("Work.");
        card::Card card = small_card(std::move(step));
        card.sections[0].rows[0].cautions = {sample::caution(level, "WORD", "The same hazard.", "The same advice.")};
        const Pages all = laid(card, Paper::a4);
        walk(all, [&](const Box& box, const Above& above) {
            const bool in_caution =
                box.role == Role::caution || (!above.empty() && above.back()->role == Role::caution) ||
                std::any_of(above.begin(), above.end(), [](const Box* b) { return b->role == Role::caution; });
            const auto* area = std::get_if<Area>(&box.paint);
            if (!in_caution || area == nullptr) return;
            const auto w = static_cast<std::int64_t>(box.at.width);
            const auto h = static_cast<std::int64_t>(box.at.height);
            if (area->fill) black[level] += *area->fill == 0 ? w * h : -w * h; // white plates lie on black
            if (area->line != 0 && area->line_grey == 0) black[level] += 2 * area->line * (w + h);
        });
    }
    CHECK(black[card::Level::danger] > 2 * black[card::Level::warning]);
    CHECK(black[card::Level::warning] > 2 * black[card::Level::caution]);
    CHECK(black[card::Level::caution] > black[card::Level::notice] * 3 / 2);
    CHECK(black[card::Level::notice] > 0);
}

TEST_CASE("no box to write a torque that the wrench cannot show") {
    const auto boxes = [](bool value_box) {
        card::Step step = sample::step("Torque it.");
        card::Torque torque = sample::guide_bolt();
        torque.value_box = value_box;
        step.panel = std::vector<card::Torque>{torque};
        int count = 0;
        walk(laid(small_card(std::move(step)), Paper::a4),
             [&](const Box& box, const Above&) { count += box.role == Role::reading_box ? 1 : 0; });
        return count;
    };
    CHECK(boxes(false) == 0);
    CHECK(boxes(true) == 2);
}

TEST_CASE("a group that is gone round twice has its order and its ticks twice, column by column") {
    for (const Paper paper : {Paper::a4, Paper::letter, Paper::a5}) {
        card::Step step = sample::step("Torque the wheel nuts.");
        card::Torque torque = sample::guide_bolt();
        torque.fasteners = 4;
        torque.order = "1 3 2 4";
        torque.rounds = 2;
        torque.rounds_text = "in 2 rounds";
        step.panel = std::vector<card::Torque>{torque};
        const Pages all = laid(small_card(std::move(step)), paper);
        std::string numbers;
        std::vector<Length> column_of; // of each tick, from top to bottom
        int said = 0;
        walk(all, [&](const Box& box, const Above&) {
            const auto* text = std::get_if<Text>(&box.paint);
            if (box.role == Role::tightening_order && text != nullptr) {
                if (text->utf8.size() == 1)
                    numbers += text->utf8;
                else
                    ++said;
            }
            if (box.role == Role::tick && box.name.find("/fastener") != std::string::npos)
                column_of.push_back(box.name.find("/1/") != std::string::npos ? 1 : 2);
        });
        // The ring once, each place with its turn, then the ticks as they are tightened, round by round.
        CHECK(numbers == "12341234123412341234");
        CHECK(said == 1);
        CHECK(column_of.size() == 16);
        CHECK(std::is_sorted(column_of.begin(), column_of.end()));
        CHECK_NONE(faults_of(all));
    }
}

TEST_CASE("a ring says the same on paper as in the text form, drawn or told, and its ticks are numbered as they are "
          "tightened") {
    // Over the places 1 3 5 2 4: the second turn is at the third place.
    card::Step step = sample::step("Torque the wheel nuts.");
    card::Torque torque = sample::guide_bolt();
    torque.fasteners = 5;
    torque.order = "1 4 2 5 3";
    step.panel = std::vector<card::Torque>{torque};
    const card::Card card = small_card(std::move(step));
    const std::string printed = text::print(card);
    CHECK(printed.find("numbered clockwise: 1 4 2 5 3") != std::string::npos);
    CHECK(printed.find("L 1 [ ]  2 [ ]  3 [ ]  4 [ ]") != std::string::npos);
    CHECK(printed.find("5 [ ]") != std::string::npos);
    std::map<double, std::string> clockwise; // by the angle from the top
    std::vector<std::string> ticks;
    walk(laid(card, Paper::a4), [&](const Box& box, const Above& above) {
        const auto* text = std::get_if<Text>(&box.paint);
        if (box.role != Role::tightening_order || text == nullptr) return;
        const auto ring =
            std::find_if(above.begin(), above.end(), [](const Box* each) { return each->role == Role::ring; });
        if (ring == above.end()) {
            ticks.push_back(text->utf8);
            return;
        }
        const Rect &whole = (*ring)->at, &node = (*(ring + 1))->at;
        const double right = node.x + node.width / 2 - (whole.x + whole.width / 2);
        const double up = whole.y + whole.height / 2 - (node.y + node.height / 2);
        const double angle = std::atan2(right, up);
        clockwise[angle < -0.01 ? angle + 7 : angle] = text->utf8;
    });
    std::string seen;
    for (const auto& [angle, number] : clockwise) seen += (seen.empty() ? "" : " ") + number;
    CHECK(seen == "1 4 2 5 3");
    CHECK(ticks == std::vector<std::string>{"1", "2", "3", "4", "5", "1", "2", "3", "4", "5"});
}

TEST_CASE("four columns stand side by side on A4 and stack on A5, each tick with its own head") {
    for (const Paper paper : {Paper::a4, Paper::a5}) {
        card::Card card = small_card(sample::step("Look at the plug."));
        card.sections[0].columns = {"1", "2", "3", "4"};
        card.sections[0].rows[0].marks = {true, true, true, true};
        const Pages all = laid(card, paper);
        std::set<Length> lines;
        int heads = 0;
        walk(all, [&](const Box& box, const Above&) {
            if (box.role == Role::tick) lines.insert(box.at.y);
            heads += box.role == Role::column_head ? 1 : 0;
        });
        CHECK(lines.size() == (paper == Paper::a4 ? 1 : 2));
        CHECK(heads == (paper == Paper::a4 ? 4 : 0));
        CHECK_NONE(faults_of(all));
        if (paper == Paper::a5)
            for (const char* head : {"1", "2", "3", "4"}) {
                bool beside = false;
                walk(all, [&](const Box& box, const Above& above) {
                    const auto* text = std::get_if<Text>(&box.paint);
                    beside = beside || (box.role == Role::label && text != nullptr && text->utf8 == head &&
                                        row_of(above) != nullptr);
                });
                CHECK(beside);
            }
    }
}

TEST_CASE("close-out and signatures are one box; optional ways are barred on every page they reach") {
    for (const Paper paper : papers) {
        const card::Card card = sample::full_card();
        const Pages all = laid(card, paper);
        int close_outs = 0;
        std::map<std::string, std::uint32_t> depth;
        for (const card::Row* row : rows_of(card)) depth[row->name] = row->depth;
        walk(all, [&](const Box& box, const Above& above) {
            if (box.role == Role::close_out) {
                ++close_outs;
                CHECK(std::any_of(box.children.begin(), box.children.end(),
                                  [](const Box& b) { return b.role == Role::sign_off; }));
            }
            if (is_row(box.role) && !box.name.empty() && row_of(above) == nullptr)
                CHECK(std::count_if(above.begin(), above.end(), [](const Box* b) { return b->role == Role::aside; }) ==
                      depth[box.name]);
            if (box.role == Role::aside)
                CHECK(std::any_of(box.children.begin(), box.children.end(),
                                  [](const Box& b) { return b.role == Role::bar; }));
        });
        CHECK(close_outs == 1);
    }
}

TEST_CASE("a step taller than a page is an error that names it, and nothing is laid out") {
    std::string text;
    for (int i = 0; i < 600; ++i) text += "Turn the nut a little further. ";
    messages::Messages said;
    card::Card long_step = small_card(sample::step(text));
    long_step.file_stem = "2026-0412-2-front-disc-service";
    CHECK_FALSE(lay_out(long_step, Paper::a4, said).has_value());
    REQUIRE(said.all().size() == 1);
    CHECK(said.all()[0].rule == &checks::step_too_tall.rule);
    CHECK(said.all()[0].text.starts_with("step 1 of card 2026-0412-2-front-disc-service is "));
    CHECK(said.all()[0].help == "split it into two steps, or print on larger paper");
    CHECK(said.all()[0].text.find("a page of a4 paper") != std::string::npos);
    // A question cannot be split: its help says what else would do.
    card::Card question = small_card(sample::step("Work."));
    question.sections[0].rows[0].what = card::Question{text, {}, "yes", "→ 9", "no", "→ 7"};
    messages::Messages asked;
    CHECK_FALSE(lay_out(question, Paper::a5, asked).has_value());
    REQUIRE(asked.all().size() == 1);
    CHECK(asked.all()[0].help == "let it ask for fewer sides or readings at once, or print on larger paper");
}

TEST_CASE("a row that is too tall for a page has its panel across the whole width") {
    // Sixteen boxes for readings and two more readings; eight nuts, three rounds on two sides, under a caution.
    check_all(sample::full_card(), laid(sample::full_card(), Paper::a5));
    card::Step step = sample::step("Torque the wheel nuts.");
    card::Torque torque = sample::guide_bolt();
    torque.fasteners = 8;
    torque.order = "1 5 3 7 2 6 4 8";
    torque.rounds = 3;
    torque.rounds_text = "in 3 rounds";
    torque.initials = true;
    step.panel = std::vector<card::Torque>{torque};
    step.second_check = true;
    card::Card card = small_card(std::move(step));
    card.sections[0].rows[0].cautions.assign(
        2, sample::caution(card::Level::danger, "DANGER", "A wheel that comes off kills.", "Torque it in star order."));
    check_all(card, laid(card, Paper::a5));
    // A decision over eight values.
    card::Card eight = small_card(sample::step("Measure."));
    eight.sections[0].columns = {"1", "2", "3", "4", "5", "6", "7", "8"};
    eight.sections[0].rows[0].marks.assign(8, true);
    std::uint32_t number = 1;
    sample::add_row(eight.sections[0], number,
                    card::Question{"Is every gap within 0.28–0.32 mm?",
                                   {"gap: good 0.28–0.32 mm (step 1)"},
                                   "yes",
                                   "→ end of the section",
                                   "no",
                                   "→ 3–9"},
                    std::vector<bool>(8, true));
    check_all(eight, laid(eight, Paper::a5));
}

TEST_CASE("a picture stays with its step, in its own shape, and shrinks where a page is too low") {
    const std::vector<std::pair<std::uint32_t, std::uint32_t>> shapes = {{4000, 3000}, {3000, 4000}, {1500, 300},
                                                                         {300, 1500},  {120, 100},   {700, 700}};
    for (const Paper paper : papers) {
        for (const auto& shape : shapes) {
            CAPTURE(name(paper));
            CAPTURE(shape.first);
            card::Card card = small_card(sample::step("Take the lower guide bolt (1) out."));
            card::Row& row = card.sections[0].rows[0];
            row.picture = sample::picture(shape.first, shape.second);
            // All at one place, and two in corners: they make room for each other.
            for (std::uint32_t number = 1; number <= 3; ++number)
                row.picture->marks.push_back({number, 5000, 5000, 5000, 5000});
            row.picture->marks.push_back({4, 0, 0, 0, 0});
            row.picture->marks.push_back({5, 10'000, 10'000, 0, 10'000});
            for (std::uint32_t number = 1; number <= 5; ++number) row.picture->legend.push_back({number, "guide bolt"});
            check_all(card, laid(card, paper));
            // Beside a panel, and on every other sort of row.
            auto& step = std::get<card::Step>(row.what);
            step.panel = std::vector<card::Torque>{sample::guide_bolt()};
            check_all(card, laid(card, paper));
            row.what = card::Question{"Is it so?", {}, "yes", "→ 9", "no", "→ 7 and 8"};
            check_all(card, laid(card, paper));
            row.what = card::Stop{"STOP – NOT TO BE DRIVEN", "It leaks."};
            check_all(card, laid(card, paper));
        }
    }
    // Without the picture the step all but fills the page.
    for (const Paper paper : papers) {
        std::string words = "Look";
        const auto tallest = [&](bool pictured) {
            card::Card card = small_card(sample::step(words));
            if (pictured) card.sections[0].rows[0].picture = sample::picture(1000, 1000);
            messages::Messages said;
            const auto all = lay_out(card, paper, said);
            if (all) check_all(card, *all);
            return all.has_value();
        };
        while (tallest(false)) {
            const bool with = tallest(true);
            CAPTURE(words.size());
            if (words.size() < 500) CHECK(with);
            for (int i = 0; i < 40; ++i) words += " again and again";
        }
        CHECK(words.size() > 1000);
    }
}

TEST_CASE("in a repeat each round has its boxes, and fewer where a page does not hold them") {
    const auto count = [](const Pages& all, const std::string& part) {
        int boxes = 0;
        walk(all, [&](const Box& box, const Above&) {
            const bool written = box.role == Role::reading_box || box.role == Role::initials_box;
            boxes += written && box.name.find(part) != std::string::npos ? 1 : 0;
        });
        return boxes;
    };
    const auto says = [](const Pages& all, const std::string& what) {
        return std::any_of(all.pages.begin(), all.pages.end(),
                           [&](const Page& page) { return words_in(*body_of(page)).find(what) != std::string::npos; });
    };
    for (const Paper paper : papers) {
        card::Step measure = sample::step("Measure it.");
        card::Reading pad = sample::pad("gap");
        measure.panel = std::vector<card::Reading>{pad};
        measure.again = {3, 3, "", "after the last round"};
        const Pages each = laid(small_card(measure), paper);
        CHECK(count(each, "/reading-1/") == 8); // two sides, the first time and three times again
        CHECK(count(each, "/again-3") == 2);
        CHECK_NONE(faults_of(each));
        pad.points = 8;
        measure.panel = std::vector<card::Reading>{pad};
        measure.again.note = "later rounds: the worst reading";
        const Pages points = laid(small_card(measure), paper);
        CHECK(count(points, "/reading-1/") == 16 + 6);
        CHECK(says(points, "worst"));
        CHECK_NONE(faults_of(points));
        card::Step torque = sample::step("Torque it.");
        card::Torque bolt = sample::guide_bolt();
        bolt.initials = true;
        torque.panel = std::vector<card::Torque>{bolt};
        torque.second_check = true;
        torque.again = {4, 4, "", "after the last round"};
        const Pages signed_for = laid(small_card(torque), paper);
        CHECK(count(signed_for, "/initials/") == 10);
        CHECK(count(signed_for, "/second-check/") == 10);
        CHECK_NONE(faults_of(signed_for));
    }
    // Two readings of two sides, each with 16 boxes more, are more than a page of A5.
    card::Step much = sample::step("Measure it.");
    std::vector<card::Reading> gaps;
    for (const char* name : {"gap one", "gap two"}) gaps.push_back(sample::pad(name));
    much.panel = gaps;
    much.again = {8, 8, "", "after the last round"};
    const Pages fewer = laid(small_card(much), Paper::a5);
    CHECK(count(fewer, "/again-1") == 4);
    CHECK(count(fewer, "/again-2") == 0);
    CHECK(says(fewer, "after the last round"));
    CHECK_NONE(faults_of(fewer));
}

TEST_CASE("a STOP is on the page of the step before it") {
    for (const Paper paper : papers)
        for (int rows = 1; rows < 40; ++rows) {
            card::Card card = small_card(sample::step("Turn the nut."));
            std::uint32_t number = 1;
            for (int i = 1; i < rows; ++i)
                sample::add_row(card.sections[0], number, sample::step("Turn the nut a little further."), {true, true});
            sample::add_row(card.sections[0], number, sample::step("Hang a do-not-drive tag on the handlebar."),
                            {true, true});
            const std::string step = card.sections[0].rows.back().name;
            sample::add_row(card.sections[0], number, card::Stop{"STOP – NOT TO BE DRIVEN", "The disc is thin."},
                            {false, false});
            const std::string stop = card.sections[0].rows.back().name;
            std::size_t on[2] = {};
            const Pages all = laid(card, paper);
            for (std::size_t page = 0; page < all.pages.size(); ++page)
                walk(all.pages[page], [&](const Box& box, const Above&) {
                    if (is_row(box.role) && box.name == step) on[0] = page + 1;
                    if (is_row(box.role) && box.name == stop) on[1] = page + 1;
                });
            CHECK(on[0] != 0);
            CHECK(on[0] == on[1]);
        }
}

TEST_CASE("however many pages there are, the foot leaves the body alone") {
    for (const fonts::Face face : {fonts::Face::regular, fonts::Face::bold, fonts::Face::italic})
        for (char digit = '1'; digit <= '9'; ++digit)
            CHECK(fonts::width(face, std::string(1, digit)) == fonts::width(face, "0"));
    // The numbers of the pages break the last line of the foot at one length of the revision or another.
    for (const int rows : {180, 1600}) {
        for (std::size_t more = 0; more < 12; ++more) {
            card::Card card = small_card(sample::step("Turn the nut."));
            card.head.revision = "revision " + std::string(1 + more, '3');
            card.foot.own = "Fernhollow Works, the old mill";
            std::uint32_t number = 1;
            for (int i = 1; i < rows; ++i)
                sample::add_row(card.sections[0], number, sample::step("Turn the nut a little further."), {true, true});
            const Pages all = laid(card, Paper::a5);
            CHECK(all.pages.size() >= (rows == 180 ? 10 : 100));
            CHECK_NONE(faults_of(all));
        }
    }
}

TEST_CASE("a text without a glyph is an error that names the step, the sign and the script") {
    const auto say = [](std::string text) {
        messages::Messages said;
        CHECK_FALSE(lay_out(small_card(sample::step(std::move(text))), Paper::a4, said).has_value());
        REQUIRE(said.all().size() == 1);
        CHECK(said.all()[0].rule == &checks::no_glyph.rule);
        return said.all()[0].text;
    };
    CHECK(say("Remove the برغي.") == "step 1 holds “ب” (U+0628): the fonts cannot print Arabic");
    CHECK(say("Remove the בורג.").find("Hebrew") != std::string::npos);
    CHECK(say("Remove the 螺栓.").find("Chinese") != std::string::npos);
    CHECK(say("Remove \x01 it.") == "step 1 holds U+0001: the fonts cannot print control characters");
    card::Card head = small_card(sample::step("Work."));
    head.head.shop = "工房";
    messages::Messages said;
    CHECK_FALSE(lay_out(head, Paper::a4, said).has_value());
    REQUIRE(said.all().size() == 1);
    CHECK(said.all()[0].text.starts_with("the head of the card holds"));
    // Latin, Greek and Cyrillic print.
    CHECK(lay_out(small_card(sample::step("Śruba – βίδα – болт – Schraube M8×1.25, ≥ 5 Ω → 3")), Paper::a4, said)
              .has_value());
}

namespace {

std::vector<std::string> lines_of(std::string_view text, Length width, messages::Messages& said) {
    Setter setter("en", said);
    const Piece piece = setter.paragraph(text, fonts::Face::regular, width, {Role::text, pt(11)});
    std::vector<std::string> lines;
    for (const Box& box : piece.boxes) {
        CHECK(box.at.right() <= width);
        if (const auto* one = std::get_if<Text>(&box.paint)) lines.push_back(one->utf8);
        for (const Box& child : box.children) {
            CHECK(child.at.right() <= width);
            lines.push_back(std::get<Text>(child.paint).utf8);
        }
    }
    return lines;
}

} // namespace

TEST_CASE("lines break where a reader would have them break, at every width") {
    messages::Messages said;
    const std::string text = "Torque to 24 N·m ±10 % after 12 460 km with part AB-12/7, pump 2 × hard → 9, "
                             "thread-locker at 20 °C, then M8x1.25 again.";
    for (int width = 90; width < 520; ++width) {
        std::string all;
        for (const std::string& line : lines_of(text, pt(width), said)) {
            CHECK_FALSE(line.starts_with("N·m"));
            CHECK_FALSE(line.starts_with("±"));
            CHECK_FALSE(line.starts_with("%"));
            CHECK_FALSE(line.starts_with("460"));
            CHECK_FALSE(line.starts_with("km"));
            CHECK_FALSE(line.starts_with("12/"));
            CHECK_FALSE(line.starts_with("×"));
            CHECK_FALSE(line.starts_with("9,"));
            CHECK_FALSE(line.starts_with("°C"));
            CHECK_FALSE(line.starts_with(" "));
            CHECK_FALSE(line.ends_with(" "));
            if (!all.empty() && !all.ends_with("-")) all += ' ';
            all += line;
        }
        CHECK(all == text); // nothing is lost
    }
    CHECK(said.all().empty());
}

TEST_CASE("a word longer than its line is broken anywhere, and letters keep their accents") {
    messages::Messages said;
    const std::string word(80, 'W');
    std::string all;
    for (const std::string& line : lines_of(word, pt(50), said)) all += line;
    CHECK(all == word);
    // Decomposed on the way in, composed on the way out (UAX 15).
    CHECK(lines_of("Schlu\xCC\x88ssel", pt(200), said) == std::vector<std::string>{"Schl\xC3\xBCssel"});
    CHECK(lines_of("one\ntwo", pt(200), said) == std::vector<std::string>{"one", "two"});
    CHECK(lines_of("thread\xC2\xADlocker", pt(200), said) == std::vector<std::string>{"threadlocker"});
    CHECK(lines_of("   ", pt(200), said).empty());
    CHECK(said.all().empty());
}

namespace {

// Cards that nobody would write: any mix of rows, columns, depths, panels and lengths of text.
class Maker {
public:
    explicit Maker(unsigned seed) : random_(seed), of_pictures_(seed) {}

    card::Card card() {
        card::Card made;
        made.language = "en";
        made.head = sample::head();
        made.head.title = text(1, 12);
        made.words = sample::words();
        sample::ending(made);
        made.before.tools = lines();
        made.before.consumables = lines();
        made.before.states.assign(below(4), text(1, 9));
        std::uint32_t number = 0;
        const std::size_t sections = 1 + below(4);
        for (std::size_t i = 0; i < sections; ++i) made.sections.push_back(section(number));
        made.close_out.lines.clear();
        for (std::size_t i = below(20); i > 0; --i)
            made.close_out.lines.push_back({text(2, 12), chance(4) ? "done __:__ + 20 min" : ""});
        return made;
    }

private:
    std::size_t below(std::size_t n) { return random_() % n; }
    bool chance(std::size_t one_in) { return below(one_in) == 0; }

    std::string text(std::size_t least, std::size_t more) {
        static const char* const words[] = {"bolt",
                                            "caliper",
                                            "24 N·m",
                                            "Drehmomentschlüsselverlängerung",
                                            "a",
                                            "the",
                                            "→ 7",
                                            "AB-12/7-XX",
                                            "двигатель",
                                            "κινητήρας",
                                            "śruba",
                                            "12 460 km",
                                            "thread-locker",
                                            "±0.05 mm"};
        std::string all;
        for (std::size_t n = least + below(more); n > 0; --n) {
            if (!all.empty()) all += ' ';
            all += words[below(std::size(words))];
        }
        return all;
    }
    std::vector<card::Line> lines() {
        std::vector<card::Line> all;
        for (std::size_t n = below(9); n > 0; --n) all.push_back({text(1, 6), chance(2) ? "2 ×" : ""});
        return all;
    }
    std::vector<std::string> columns() {
        switch (below(5)) {
        case 0:
            return {""};
        case 1:
            return {"1", "2", "3", "4"};
        case 2:
            return {"front", "middle", "rear"};
        default:
            return {"L", "R"};
        }
    }
    card::Step step() {
        // One statement a draw: the order in which arguments are worked out is the compiler's own.
        const std::string words = text(2, 20);
        card::Step made = sample::step(words);
        if (chance(2)) made.why = text(3, 10);
        for (std::size_t n = below(3); n > 0; --n) made.notes.push_back(text(1, 8));
        switch (below(6)) {
        case 0: {
            std::vector<card::Torque> torques(1 + below(2), sample::guide_bolt());
            for (card::Torque& torque : torques) {
                torque.value = std::to_string(1 + below(400));
                torque.fasteners = static_cast<std::uint32_t>(1 + below(6));
                if (chance(6)) {
                    torque.rounds = 2;
                    torque.rounds_text = "in 2 rounds";
                }
                if (chance(6)) torque.stages = {"20 N·m", "40 N·m", "+90°"};
                if (chance(4)) torque.left_hand = "left-hand thread";
                torque.value_box = chance(4);
                torque.initials = chance(2);
                torque.wrench = text(1, 4);
            }
            made.panel = torques;
            break;
        }
        case 1: {
            std::vector<card::Reading> readings(1 + below(2), sample::pad("inner pad"));
            for (card::Reading& reading : readings) {
                if (chance(3)) reading.keep.clear();
                if (chance(3)) reading.expected = "expected L 5.8 · R 5.4";
                reading.points = static_cast<std::uint32_t>(1 + below(4));
                if (chance(3)) reading.note = text(2, 8);
            }
            made.panel = readings;
            break;
        }
        case 2:
            made.panel = card::Note{text(1, 5), chance(2)};
            break;
        default:
            break;
        }
        made.second_check = chance(4);
        if (made.second_check) made.second_check_note = text(1, 6);
        return made;
    }
    card::Section section(std::uint32_t& number) {
        card::Section made;
        made.title = chance(6) ? "" : text(1, 6);
        made.order = text(1, 12);
        made.columns = columns();
        std::uint32_t depth = 0;
        for (std::size_t n = 1 + below(14); n > 0; --n) {
            std::vector<bool> marks;
            for (std::size_t i = 0; i < made.columns.size(); ++i) marks.push_back(!chance(6));
            if (depth < 3 && chance(5)) {
                ++depth;
                sample::add_row(made, number, card::Branch{text(2, 5)}, {}, depth);
                made.rows.back().name += "/" + std::to_string(made.rows.size());
            } else if (depth > 0 && chance(3)) {
                --depth;
            }
            decltype(card::Row::what) what;
            switch (below(10)) {
            case 0:
                what = card::Question{text(3, 12), {text(1, 6)}, "yes", "→ 9", "no", "→ 7 and 8"};
                break;
            case 1:
                what = card::Repeat{text(3, 10), {text(1, 6)}, text(3, 8), static_cast<std::uint32_t>(1 + below(6)),
                                    text(1, 6),  "yes",        "→ 9",      "no"};
                break;
            case 2:
                what =
                    card::Stop{chance(3) ? "HALT – DARF NICHT GEFAHREN WERDEN" : "STOP – NOT TO BE DRIVEN", text(2, 8)};
                break;
            default:
                what = step();
            }
            card::Row& row = sample::add_row(made, number, std::move(what), std::move(marks), depth);
            row.picture = picture();
            for (std::size_t k = below(8); k >= 6; --k) {
                const auto level = static_cast<card::Level>(below(4));
                const std::string hazard = text(2, 9);
                row.cautions.push_back(sample::caution(level, "WARNING", hazard, text(2, 9)));
            }
        }
        return made;
    }

    // Each fifth row has one, in any shape and of any number of pixels; what else is made up stays as it is without them.
    std::optional<card::Picture> picture() {
        const auto draw = [this](std::uint32_t n) { return static_cast<std::uint32_t>(of_pictures_() % n); };
        if (draw(5) != 0) return std::nullopt;
        const std::uint32_t width = 200 + draw(2800);
        const std::uint32_t least = (width + 4) / 5;
        card::Picture made = sample::picture(width, least + draw(4 * width - least));
        const std::uint32_t marks = draw(5);
        for (std::uint32_t number = 1; number <= marks; ++number) {
            const auto anywhere = [&] { return static_cast<std::int32_t>(draw(10'001)); };
            card::Mark mark{number, anywhere(), anywhere(), 0, 0};
            mark.number_across = draw(2) == 0 ? mark.across : anywhere();
            mark.number_down = draw(2) == 0 ? mark.down : anywhere();
            made.marks.push_back(mark);
            made.legend.push_back(
                {number, draw(3) == 0 ? "двигатель, κινητήρας and all that is screwed to them" : "bolt"});
        }
        return made;
    }

    std::mt19937 random_;
    std::mt19937 of_pictures_;
};

} // namespace

TEST_CASE("made-up cards keep every rule, or are refused by name") {
    std::map<Paper, int> laid_out;
    for (unsigned seed = 1; seed <= 120; ++seed) {
        const card::Card card = Maker(seed).card();
        for (const Paper paper : papers) {
            CAPTURE(seed);
            CAPTURE(name(paper));
            messages::Messages said;
            const auto all = lay_out(card, paper, said);
            if (!all) {
                REQUIRE(said.any_error());
                for (const auto& message : said.all()) {
                    CHECK(message.rule == &checks::step_too_tall.rule);
                    CHECK(message.text.starts_with("step "));
                }
                continue;
            }
            ++laid_out[paper];
            check_all(card, *all);
        }
    }
    CHECK(laid_out[Paper::a4] > 90); // of 120
    CHECK(laid_out[Paper::letter] > 85);
    CHECK(laid_out[Paper::a5] > 15);
}

// The size of a code square that is not drawn is taken from the standard's table, and has to be that of the symbol.
TEST_CASE("a code square takes the same place whether it is drawn or not") {
    for (std::size_t bytes = 1; bytes <= 260; ++bytes) {
        card::Card card = small_card(sample::step("Wash it."));
        card.head.code = std::string(bytes, 'x');
        messages::Messages said;
        auto all = lay_out(card, Paper::a4, said);
        const auto places = lay_out(card, Paper::a4, said, Codes::places);
        REQUIRE(all);
        REQUIRE(places);
        const auto forget = [](Box& box, const auto& self) -> void {
            if (auto* qr = std::get_if<Qr>(&box.paint)) qr->modules.clear();
            for (Box& child : box.children) self(child, self);
        };
        Pages undrawn = *places;
        for (Pages* pages : {&*all, &undrawn})
            for (Page& page : pages->pages)
                for (Box& box : page.boxes) forget(box, forget);
        CAPTURE(bytes);
        CHECK(all->pages == undrawn.pages);
    }
}
