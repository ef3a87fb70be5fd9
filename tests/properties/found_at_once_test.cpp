// What somebody with a card in his hand looks for first is on it, in one word wherever it is told, and leads to the page where it stands.
#include "driver/pipeline.h"
#include "labels/labels.h"
#include "pages/lay_out.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <functional>
#include <set>
#include <string>
#include <vector>

using namespace benchleaf;

namespace {

void each_box(const pages::Page& page, const std::function<void(const pages::Box&)>& what) {
    const std::function<void(const pages::Box&)> walk = [&](const pages::Box& box) {
        what(box);
        for (const pages::Box& child : box.children) walk(child);
    };
    for (const pages::Box& box : page.boxes) walk(box);
}

// Without blanks: lines may be broken anywhere between words.
std::string squeezed(const std::string& text) {
    std::string made;
    for (const char c : text)
        if (c != ' ') made += c;
    return made;
}
std::string words_on(const pages::Page& page) {
    std::string words;
    each_box(page, [&](const pages::Box& box) {
        if (const auto* text = std::get_if<pages::Text>(&box.paint)) words += text->utf8;
    });
    return squeezed(words);
}
bool says(const pages::Page& page, const std::string& text) {
    return words_on(page).find(squeezed(text)) != std::string::npos;
}
bool has(const pages::Page& page, pages::Role role) {
    bool found = false;
    each_box(page, [&](const pages::Box& box) { found = found || box.role == role; });
    return found;
}

struct Shop {
    driver::Files files;
    std::unique_ptr<driver::Shopful> linked;
    std::vector<std::unique_ptr<driver::Work>> jobs;
};

// The demo shop and the shops of tests/valid, printed in English.
const std::vector<Shop>& shops() {
    static const std::vector<Shop> all = [] {
        std::vector<std::string> folders{BENCHLEAF_SOURCE_DIR "/procedures"};
        for (const auto& folder : std::filesystem::directory_iterator(BENCHLEAF_SOURCE_DIR "/tests/valid"))
            if (folder.is_directory()) folders.push_back(folder.path().string());
        std::vector<Shop> made;
        for (const std::string& folder : folders) {
            auto read = driver::read_shop(folder);
            REQUIRE(read.ok());
            Shop shop{std::move(read.value().files), nullptr, {}};
            shop.linked = driver::link_shop(shop.files);
            driver::PrintOptions options;
            options.language = "en";
            for (std::size_t job = 0; job < shop.linked->linked.jobs.size(); ++job)
                shop.jobs.push_back(driver::make_job(*shop.linked, linked::JobId(job), options));
            made.push_back(std::move(shop));
        }
        return made;
    }();
    return all;
}

void each_job(const std::function<void(const driver::Work&)>& what) {
    for (const Shop& shop : shops())
        for (const auto& job : shop.jobs) {
            CAPTURE(job->name);
            what(*job);
        }
}

template <class What>
void each_row(const card::Card& card, const What& what) {
    for (const card::Section& section : card.sections)
        for (const card::Row& row : section.rows) what(row);
}

} // namespace

TEST_CASE("a torque is found on the sheet that the cover names") {
    std::size_t found = 0;
    each_job([&](const driver::Work& work) {
        if (!work.cover) return;
        const std::size_t cover = work.cover->pages.pages.size();
        for (const card::TorqueLine& line : work.cover->cover.torques) {
            CAPTURE(line.name);
            std::size_t sheet = cover;
            for (std::size_t i = 0; i + 1 < line.card; ++i) sheet += work.cards[i].pages.pages.size();
            const driver::PagedCard& card = work.cards[line.card - 1];
            std::size_t page = 0;
            for (std::size_t i = 0; i < card.pages.pages.size(); ++i)
                each_box(card.pages.pages[i], [&](const pages::Box& box) {
                    if (box.name == fmt::format("step-{}/panel", line.step)) page = i + 1;
                });
            REQUIRE(page != 0);
            CHECK(pages::pages_of(card.card, card.pages).step.at(line.step - 1) == page);
            bool told = false;
            for (const pages::Page& each : work.cover->pages.pages)
                each_box(each, [&](const pages::Box& box) {
                    if (box.role != pages::Role::list_item) return;
                    const pages::Page alone{{box}};
                    told = told || (says(alone, line.value) && says(alone, line.about) &&
                                    words_on(alone).ends_with(std::to_string(sheet + page)));
                });
            CHECK_MESSAGE(told, line.about);
            ++found;
        }
    });
    CHECK(found > 40);
}

TEST_CASE("without a cover sheet a card of several pages begins with its torques, one of a single page does not") {
    std::size_t several = 0;
    each_job([&](const driver::Work& work) {
        for (const driver::PagedCard& each : work.cards) {
            if (work.cover) CHECK(each.card.before.torques.empty());
            card::Card alone = each.card; // as if it had none
            if (work.cover)
                for (const card::TorqueLine& line : work.cover->cover.torques)
                    if (line.card == each.card.head.card) alone.before.torques.push_back(line);
            if (alone.before.torques.empty()) continue;
            messages::Messages said;
            const auto laid = pages::lay_out(alone, each.pages.paper, said, pages::Codes::places);
            REQUIRE(laid);
            // On A5 the lists before the work may take more than a page.
            std::size_t listed_on = 0;
            for (std::size_t i = laid->pages.size(); i > 0; --i)
                if (says(laid->pages[i - 1], alone.words.torques)) listed_on = i;
            const bool listed = listed_on != 0;
            CHECK(listed_on <= (each.pages.paper == pages::Paper::a5 ? 2 : 1));
            for (const card::TorqueLine& line : alone.before.torques)
                if (listed) CHECK(says(laid->pages[listed_on - 1], line.name + " · " + line.about));
            CHECK(listed == (each.pages.pages.size() > 1));
            several += listed ? 1 : 0;
        }
    });
    CHECK(several > 10);
}

TEST_CASE("the second check is one word and one rule on cover, step and close-out") {
    std::set<std::string> rules;
    std::size_t steps = 0;
    each_job([&](const driver::Work& work) {
        for (const driver::PagedCard& each : work.cards) {
            const card::CloseOut& close_out = each.card.close_out;
            CHECK(close_out.signatures.at(1) == each.card.words.second_check);
            CHECK(close_out.check_rule.starts_with(each.card.words.second_check));
            CHECK(says(each.pages.pages.back(), close_out.check_rule));
            if (work.cover) {
                CHECK(work.cover->cover.check_rule == close_out.check_rule);
                CHECK(says(work.cover->pages.pages.back(), close_out.check_rule));
            }
            each_row(each.card, [&](const card::Row& row) {
                const auto* step = std::get_if<card::Step>(&row.what);
                if (step == nullptr || !step->second_check) return;
                CHECK(close_out.check_rule.ends_with(step->second_check_note));
                ++steps;
            });
            rules.insert(close_out.check_rule);
        }
    });
    CHECK(rules.size() == 2); // by somebody else; later
    CHECK(steps > 40);
}

TEST_CASE("what to do when the work stops half-way stands at the strip, and the cover leads there") {
    each_job([&](const driver::Work& work) {
        for (const driver::PagedCard& each : work.cards) {
            REQUIRE(!each.card.stop_strip.what_to_do.empty());
            const auto& pages = each.pages.pages;
            CHECK(std::any_of(pages.begin(), pages.end(), [&](const pages::Page& page) {
                return has(page, pages::Role::work_stopped) && says(page, each.card.stop_strip.what_to_do);
            }));
            if (work.cover) CHECK(work.cover->cover.stopped.find(each.card.stop_strip.title) != std::string::npos);
        }
        if (work.cover) CHECK(says(work.cover->pages.pages.front(), work.cover->cover.stopped));
    });
}

TEST_CASE("findings, strip and close-out stand together, unless the page before would be left white") {
    std::size_t together = 0, apart = 0;
    each_job([&](const driver::Work& work) {
        for (const driver::PagedCard& each : work.cards) {
            const pages::Page& last = each.pages.pages.back();
            (has(last, pages::Role::findings) ? together : apart) += 1;
            if (each.card.head.title == "Brake road test") CHECK(has(last, pages::Role::findings));
        }
    });
    CHECK(together > 4 * apart);
}

TEST_CASE("a question about what was looked at says what counts as no") {
    std::size_t asked = 0, others = 0;
    each_job([&](const driver::Work& work) {
        for (const driver::PagedCard& each : work.cards)
            each_row(each.card, [&](const card::Row& row) {
                const auto* question = std::get_if<card::Question>(&row.what);
                if (question == nullptr) return;
                bool looked = question->text.starts_with("Is all that was looked at");
                bool told = false;
                for (const std::string& basis : question->basis) {
                    looked = looked || basis.find(": good (step") != std::string::npos;
                    told = told || basis == "“advise” counts as yes, “act now” as no";
                }
                CHECK(told == looked);
                (looked ? asked : others) += 1;
            });
    });
    CHECK(asked > 20);
    CHECK(others > 20);
}

TEST_CASE("things that are looked at in one row have boxes each, and so has the reading that decides of several") {
    std::size_t rows = 0, readings = 0;
    each_job([&](const driver::Work& work) {
        for (const driver::PagedCard& each : work.cards) {
            std::set<std::string> names;
            for (const pages::Page& page : each.pages.pages)
                each_box(page, [&](const pages::Box& box) { names.insert(box.name); });
            each_row(each.card, [&](const card::Row& row) {
                const auto* step = std::get_if<card::Step>(&row.what);
                if (step == nullptr) return;
                if (const auto* grades = std::get_if<card::Grades>(&step->panel)) {
                    rows += grades->of.empty() ? 0 : 1;
                    for (std::size_t of = 1; of <= grades->of.size(); ++of)
                        for (std::size_t grade = 1; grade <= grades->words.size(); ++grade)
                            for (std::size_t column = 1; column <= row.marks.size(); ++column)
                                CHECK(names.contains(fmt::format("{}/graded-{}/grade-{}/{}", row.name, of, grade,
                                                                 column)) == row.marks[column - 1]);
                }
                if (const auto* all = std::get_if<std::vector<card::Reading>>(&step->panel))
                    for (std::size_t i = 0; i < all->size(); ++i) {
                        const card::Reading& reading = (*all)[i];
                        const bool most = reading.limit.starts_with("at most");
                        const bool least = reading.limit.starts_with("at least");
                        if (reading.points < 2) CHECK(reading.worst.empty());
                        if (reading.points < 2 || (!most && !least)) continue;
                        CHECK(reading.worst == (most ? "greatest" : "smallest"));
                        for (std::size_t column = 1; column <= row.marks.size(); ++column)
                            if (reading.marks.empty() && row.marks[column - 1])
                                CHECK(names.contains(fmt::format("{}/reading-{}/{}/worst", row.name, i + 1, column)));
                        ++readings;
                    }
            });
        }
    });
    CHECK(rows >= 2);
    CHECK(readings >= 2);
}

TEST_CASE("what the demo's steps name is in the lists of what is to be fetched, and not told twice at the step") {
    static const std::pair<const char*, const char*> things[] = {{"Chock ", "wheel chocks"},
                                                                 {"Chalk the", "chalk"},
                                                                 {"do-not-drive tag", "do-not-drive tag"},
                                                                 {"off with paper", "paper"},
                                                                 {"Bag the", "bag for brake dust"},
                                                                 {"a rag", "rag"},
                                                                 {"Cut the caliper", "side cutter"}};
    std::set<std::string> met;
    for (const auto& work : shops().front().jobs)
        for (const driver::PagedCard& each : work->cards) {
            const auto fetched = [&](const std::string& tool) {
                for (const card::Line& line : each.card.before.tools)
                    if (line.text == tool) return true;
                return false;
            };
            each_row(each.card, [&](const card::Row& row) {
                const auto* step = std::get_if<card::Step>(&row.what);
                if (step == nullptr) return;
                std::string words = step->text;
                for (const card::Caution& caution : row.cautions) words += " " + caution.avoid;
                for (const auto& [said, tool] : things) {
                    if (words.find(said) == std::string::npos) continue;
                    CHECK_MESSAGE(fetched(tool), step->text);
                    met.insert(tool);
                }
                for (const std::string& note : step->notes) CHECK(note != "tool: do-not-drive tag");
            });
        }
    CHECK(met.size() == std::size(things));
}
