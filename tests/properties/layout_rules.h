// The rules of layout (design, "The card"), each over the boxes as they are laid out. A rule gives a sentence for each box that breaks it, none
// when all is well; layout_test.cpp tests them on pages that are spoiled on purpose.
//
//     check_all(card, pages);               // every rule, in a test
//     CHECK_NONE(faults_of(pages));         // what holds for pages of any sort
#pragma once

#include "card/card.h"
#include "fonts/fonts.h"
#include "messages/message.h"
#include "pages/lay_out.h"
#include "pages/pages.h"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <vector>

namespace benchleaf::layout_rules {

using namespace pages;

inline constexpr Paper papers[] = {Paper::a4, Paper::letter, Paper::a5};

inline bool is_row(Role role) {
    return role == Role::step || role == Role::question || role == Role::repeat || role == Role::stop;
}

// Every box with those that it lies in, outermost first.
using Above = std::vector<const Box*>;
inline void walk(const Box& box, Above& above, const std::function<void(const Box&, const Above&)>& see) {
    see(box, above);
    above.push_back(&box);
    for (const Box& child : box.children) walk(child, above, see);
    above.pop_back();
}
inline void walk(const Page& page, const std::function<void(const Box&, const Above&)>& see) {
    Above above;
    for (const Box& box : page.boxes) walk(box, above, see);
}
inline void walk(const Pages& all, const std::function<void(const Box&, const Above&)>& see) {
    for (const Page& page : all.pages) walk(page, see);
}

inline std::string at(const Box& box) {
    return fmt::format("{} [{}] {},{} {}x{}", name(box.role), box.name, box.at.x, box.at.y, box.at.width,
                       box.at.height);
}

// A row's box: the outermost with that role and a name.
inline const Box* row_of(const Above& above) {
    for (const Box* box : above)
        if (is_row(box->role) && !box->name.empty()) return box;
    return nullptr;
}

inline std::string words_in(const Box& box) {
    std::string all;
    Above above;
    walk(box, above, [&](const Box& one, const Above&) {
        if (const auto* text = std::get_if<Text>(&one.paint)) all += text->utf8 + " ";
    });
    return all;
}

inline void siblings(const std::vector<Box>& boxes, std::vector<std::string>& faults) {
    for (std::size_t i = 0; i < boxes.size(); ++i)
        for (std::size_t j = i + 1; j < boxes.size(); ++j)
            if (boxes[i].at.meets(boxes[j].at))
                faults.push_back(fmt::format("meets: {} | {}", at(boxes[i]), at(boxes[j])));
    for (const Box& box : boxes) siblings(box.children, faults);
}

struct Least {
    Role role;
    double width, height; // mm
};
inline constexpr Least least_sizes[] = {{Role::tick, 5, 5},
                                        {Role::reading_box, 24, 9},
                                        {Role::signature_box, 35, 10},
                                        {Role::initials_box, 16, 9},
                                        {Role::entry_box, 24, 9}};

// What breaks a rule that holds for every page of every card.
inline std::vector<std::string> faults_of(const Pages& all) {
    std::vector<std::string> faults;
    const Size paper = size_of(all.paper);
    // 18 mm on the punched side, 10 mm elsewhere
    const Rect inside{mm(18), mm(10), paper.width - mm(18) - mm(10), paper.height - 2 * mm(10)};
    std::set<std::string> names;
    for (const Page& page : all.pages) {
        siblings(page.boxes, faults);
        std::set<std::string> on_page;
        walk(page, [&](const Box& box, const Above& above) {
            if (!inside.holds(box.at)) faults.push_back("in the margin: " + at(box));
            if (!above.empty() && !above.back()->at.holds(box.at)) faults.push_back("leaves its box: " + at(box));
            if (box.at.width < 0 || box.at.height < 0) faults.push_back("turned inside out: " + at(box));
            for (const Least& least : least_sizes)
                if (box.role == least.role && std::holds_alternative<Area>(box.paint) &&
                    (box.at.width < mm(least.width) || box.at.height < mm(least.height)))
                    faults.push_back("too small: " + at(box));
            const bool written = box.role == Role::tick || box.role == Role::reading_box ||
                                 box.role == Role::signature_box || box.role == Role::initials_box ||
                                 box.role == Role::entry_box;
            if (written && (box.name.empty() || !names.insert(box.name).second))
                faults.push_back("without a name of its own: " + at(box));
            if (const auto* image = std::get_if<Image>(&box.paint)) {
                // In its own shape, and no coarser than it must be.
                const pictures::Picture& picture = *image->picture;
                const auto height = static_cast<std::int64_t>(box.at.width) * picture.height / picture.width;
                if (std::abs(height - box.at.height) > static_cast<std::int64_t>(1 + picture.height / picture.width))
                    faults.push_back("out of shape: " + at(box));
                const Length longest = std::max(box.at.width, box.at.height);
                const std::int64_t pixels = std::max(picture.width, picture.height);
                if (pixels * 72'000 < std::int64_t{150} * longest && longest > mm(50))
                    faults.push_back("coarser than 150 dpi: " + at(box));
                for (const Image::Lead& lead : image->leads)
                    if (!box.at.holds({lead.to.x, lead.to.y, 0, 0})) faults.push_back("leads off it: " + at(box));
            }
            const auto* text = std::get_if<Text>(&box.paint);
            if (text == nullptr) return;
            const auto wide = fonts::width(text->face, text->utf8) * text->size;
            if (wide > static_cast<std::int64_t>(box.at.width) * fonts::units_per_em)
                faults.push_back("text wider than its box: " + at(box));
            if (text->baseline <= box.at.y || text->baseline >= box.at.bottom())
                faults.push_back("off its line: " + at(box));
            if (text->size < pt(9)) faults.push_back("type under 9 pt: " + at(box));
            const Box* row = row_of(above);
            if (row != nullptr && box.role == Role::text && text->size < pt(10.5))
                faults.push_back("step under 10.5 pt: " + at(box));
            // Small white type fills up on a copy.
            if (text->grey != 0 && box.role != Role::stop) faults.push_back("not black: " + text->utf8);
            const bool figure = box.role == Role::torque_figure || box.role == Role::limit_figure ||
                                box.role == Role::second_figure || box.role == Role::tightening_order;
            if (figure && (text->size < pt(12) || text->face != fonts::Face::bold))
                faults.push_back("a figure that is not 12 pt bold: " + at(box));
        });
    }
    return faults;
}

inline std::vector<const card::Row*> rows_of(const card::Card& card) {
    std::vector<const card::Row*> rows;
    for (const card::Section& section : card.sections)
        for (const card::Row& row : section.rows)
            if (row.number != 0) rows.push_back(&row);
    return rows;
}

// Every row once, whole, on one page, in order.
inline std::vector<std::string> order_faults(const card::Card& card, const Pages& all) {
    std::vector<std::string> faults;
    std::vector<const Box*> found;
    walk(all, [&](const Box& box, const Above& above) {
        if (is_row(box.role) && !box.name.empty() && row_of(above) == nullptr) found.push_back(&box);
    });
    const auto rows = rows_of(card);
    if (rows.size() != found.size()) faults.push_back(fmt::format("{} rows, {} boxes", rows.size(), found.size()));
    for (std::size_t i = 0; i < std::min(rows.size(), found.size()); ++i) {
        if (found[i]->name != rows[i]->name) faults.push_back("out of order: " + rows[i]->name);
        if (!words_in(*found[i]).starts_with(std::to_string(rows[i]->number)) && rows[i]->cautions.empty())
            faults.push_back("without its number: " + rows[i]->name);
        std::size_t cautions = 0;
        for (const Box& child : found[i]->children) cautions += child.role == Role::caution ? 1 : 0;
        std::size_t levels = 0; // those of one level share a frame
        for (std::size_t k = 0; k < rows[i]->cautions.size(); ++k)
            levels += k == 0 || rows[i]->cautions[k].level != rows[i]->cautions[k - 1].level ? 1 : 0;
        std::size_t pictures = 0, discs = 0;
        Above inside;
        walk(*found[i], inside, [&](const Box& box, const Above& above) {
            const bool on_it = !above.empty() && above.back()->role == Role::picture;
            pictures += std::holds_alternative<Image>(box.paint) ? 1 : 0;
            discs += box.role == Role::mark && on_it ? 1 : 0;
        });
        const auto& picture = rows[i]->picture;
        if (pictures != (picture ? 1U : 0U)) faults.push_back("away from its picture: " + rows[i]->name);
        if (discs != (picture ? picture->marks.size() : 0U)) faults.push_back("without its numbers: " + rows[i]->name);
        if (cautions != levels) faults.push_back("away from its caution: " + rows[i]->name);
    }
    return faults;
}

// A head is never the last on its page, and what goes on has its heads again.
inline std::vector<std::string> head_faults(const Pages& all) {
    std::vector<std::string> faults;
    for (const Page& page : all.pages)
        walk(page, [&](const Box& box, const Above&) {
            if (box.role != Role::section && box.role != Role::aside && box.role != Role::findings) return;
            if (!box.children.empty() && box.children.back().role == Role::section_head)
                faults.push_back("a head without its first row: " + at(box));
            // On every page a section's ticks stand under column heads; stacked ticks have their heads beside them.
            if (box.role != Role::section) return;
            std::set<std::string> columns;
            std::vector<const Box*> ticks, heads, labels;
            Above inside;
            walk(box, inside, [&](const Box& one, const Above&) {
                if (one.role == Role::column_head) heads.push_back(&one);
                if (one.role == Role::label) labels.push_back(&one);
                if (one.role != Role::tick || one.name.find("/tick/") == std::string::npos) return;
                ticks.push_back(&one);
                columns.insert(one.name.substr(one.name.find("/tick/")));
            });
            if (columns.size() < 2) return;
            for (const Box* tick : ticks) {
                // What is worked once has one wide box, and no head of its own: it stands under all of them.
                if (tick->at.width > tick->at.height) {
                    for (const Box* head : heads)
                        if (head->at.x + head->at.width / 2 < tick->at.x ||
                            head->at.x + head->at.width / 2 > tick->at.right())
                            faults.push_back("a wide tick that leaves a column out: " + at(*tick));
                    continue;
                }
                const auto over = [&](const Box* head) {
                    const Length middle = tick->at.x + tick->at.width / 2;
                    return head->at.x <= middle && middle <= head->at.right() && head->at.bottom() <= tick->at.y;
                };
                const auto beside = [&](const Box* label) {
                    return label->at.right() <= tick->at.x && tick->at.x - label->at.right() < pt(60) &&
                           label->at.y < tick->at.bottom() && tick->at.y < label->at.bottom();
                };
                if (std::none_of(heads.begin(), heads.end(), over) &&
                    std::none_of(labels.begin(), labels.end(), beside))
                    faults.push_back("a tick without a head: " + at(*tick));
            }
        });
    return faults;
}

inline const Box* body_of(const Page& page) {
    for (const Box& box : page.boxes)
        if (box.role == Role::body) return &box;
    return nullptr;
}

inline Length lowest(const Box& body) {
    Length bottom = body.at.y;
    for (const Box& box : body.children) bottom = std::max(bottom, box.at.bottom());
    return bottom;
}

// How far down the first block of a page reaches: the first row with the heads over it, or the first box of another kind.
inline Length first_block(const Box& body) {
    const Box* box = &body.children.front();
    Length bottom = box->at.bottom();
    // The last line of a long close-out stays with the signatures.
    if (box->role == Role::close_out) {
        for (const Box& one : body.children) bottom = one.role == Role::close_out ? one.at.bottom() : bottom;
        return bottom - body.at.y;
    }
    while (box->role == Role::section || box->role == Role::aside || box->role == Role::findings ||
           box->role == Role::body) {
        const Box* next = nullptr;
        for (const Box& child : box->children)
            if (child.role != Role::section_head && child.role != Role::bar && child.role != Role::rule &&
                child.role != Role::column_head && child.role != Role::list_head) {
                next = &child;
                break;
            }
        if (next == nullptr) break;
        // Under the table of findings what is written and what comes of it are kept together.
        bool table = false;
        Above inside;
        walk(*next, inside, [&](const Box& one, const Above&) { table = table || one.role == Role::tick; });
        if (box->role == Role::findings && !table) return box->at.bottom() - body.at.y;
        box = next;
        bottom = box->at.bottom();
    }
    return bottom - body.at.y;
}

// How far down the rows reach that have to stand on one page with the first row of this one: what is worked in one go.
inline Length kept_from(const card::Card& card, const Box& body) {
    const std::vector<const card::Row*> rows = rows_of(card);
    std::map<std::string, const Box*> here;
    Above inside;
    std::string first;
    walk(body, inside, [&](const Box& box, const Above&) {
        if (!is_row(box.role) || box.name.empty()) return;
        if (here.empty()) first = box.name;
        here.emplace(box.name, &box);
    });
    std::size_t at = 0;
    while (at < rows.size() && rows[at]->name != first) ++at;
    if (at == rows.size()) return 0;
    std::size_t last = at;
    for (std::size_t i = at; i < rows.size(); ++i) {
        if (const auto* repeat = std::get_if<card::Repeat>(&rows[i]->what))
            if (repeat->from == rows[at]->number) last = i;
        if (i != last + 1) continue;
        const auto* step = std::get_if<card::Step>(&rows[i]->what);
        const bool torques = step != nullptr && std::holds_alternative<std::vector<card::Torque>>(step->panel);
        const bool works = std::holds_alternative<card::Step>(rows[i - 1]->what);
        if (works && (torques || std::holds_alternative<card::Stop>(rows[i]->what))) last = i;
    }
    const auto found = here.find(rows[last]->name);
    return found == here.end() ? 0 : found->second->at.bottom() - body.at.y;
}

// No page but the last is under two thirds full, unless what comes next is kept together and did not fit.
inline std::vector<std::string> fill_faults(const card::Card& card, const Pages& all) {
    std::vector<std::string> faults;
    for (std::size_t i = 0; i + 1 < all.pages.size(); ++i) {
        const Box* body = body_of(all.pages[i]);
        const Box* next = body_of(all.pages[i + 1]);
        const Length rest = body->at.bottom() - lowest(*body);
        if (rest <= body->at.height / 3) continue;
        if (rest > std::max(first_block(*next), kept_from(card, *next)) + pt(30)) // the white that would stand over it
            faults.push_back(fmt::format("page {} ends {} pt early for a block of {} pt", i + 1, rest / 1000,
                                         first_block(*next) / 1000));
    }
    return faults;
}

#define CHECK_NONE(list)                                                                                               \
    do {                                                                                                               \
        const auto found_faults = (list);                                                                              \
        for (const auto& one : found_faults) MESSAGE(one);                                                             \
        CHECK(found_faults.empty());                                                                                   \
    } while (false)

// L stands over L on all pages, whatever the section.
inline std::vector<std::string> column_faults(const Pages& all) {
    std::vector<std::string> faults;
    std::map<std::string, Length> middle_of;
    walk(all, [&](const Box& box, const Above&) {
        const auto* text = std::get_if<Text>(&box.paint);
        if (box.role != Role::column_head || text == nullptr || (text->utf8 != "L" && text->utf8 != "R")) return;
        const Length middle = box.at.x + box.at.width / 2;
        const auto [known, fresh] = middle_of.emplace(text->utf8, middle);
        if (!fresh && std::abs(known->second - middle) > pt(0.01))
            faults.push_back("not over the other: " + text->utf8);
    });
    return faults;
}

// A cover sheet: a title is not the last thing on its page.
inline std::vector<std::string> cover_faults(const Pages& all) {
    std::vector<std::string> faults = faults_of(all);
    for (const Page& page : all.pages) {
        const Box* body = body_of(page);
        const Length bottom = lowest(*body);
        for (const Box& box : body->children)
            if (box.role == Role::section_head && box.at.bottom() == bottom)
                faults.push_back("a title alone: " + words_in(box));
        for (const Box& box : body->children)
            if (!body->at.holds(box.at)) faults.push_back("leaves the body: " + at(box));
    }
    return faults;
}

inline void check_all(const card::Card& card, const Pages& all) {
    CHECK_NONE(faults_of(all));
    CHECK_NONE(order_faults(card, all));
    CHECK_NONE(head_faults(all));
    CHECK_NONE(fill_faults(card, all));
    CHECK_NONE(column_faults(all));
}

inline Pages laid(const card::Card& card, Paper paper) {
    messages::Messages said;
    auto all = lay_out(card, paper, said);
    for (const auto& message : said.all()) MESSAGE(message.text);
    REQUIRE(all.has_value());
    return std::move(*all);
}

} // namespace benchleaf::layout_rules
