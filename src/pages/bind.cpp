#include "pages/bind.h"

#include "base/require.h"
#include "messages/message.h"
#include "pages/parts.h"

#include <fmt/format.h>

#include <iterator>
#include <utility>

namespace benchleaf::pages {

namespace {

void rename(Box& box, const std::string& prefix) {
    if (is_written_in(box.role)) box.name.insert(0, prefix);
    for (Box& child : box.children) rename(child, prefix);
}

void mark_sections(const Box& box, std::size_t page, std::vector<Bookmark>& to) {
    if (box.role == Role::section_head && box.name.starts_with(section_mark))
        to.push_back({box.name.substr(section_mark.size()), page, box.at.y, 1});
    if (box.role != Role::body && box.role != Role::section && box.role != Role::aside) return;
    for (const Box& child : box.children) mark_sections(child, page, to);
}

class Binder {
public:
    Binder(Paper paper, std::size_t sheets) : style_(style_for(paper)), sheets_(sheets) { made_.pages.paper = paper; }

    std::size_t next() const { return made_.pages.pages.size(); }

    void bookmark(std::string title) { made_.bookmarks.push_back({std::move(title), next(), 0, 0}); }
    void number(std::string prefix, bool roman) { made_.numbering.push_back({next(), std::move(prefix), roman}); }

    // Feet are set again: only now is it known which sheet a page is.
    void add(const card::Card& card, Pages& pages, bool with_sections) {
        base::require(pages.paper == made_.pages.paper, "the leaves of a booklet are of one paper");
        Setter setter(card.language, unsaid_);
        Making in{card, style_, setter, {}};
        const std::size_t count = pages.pages.size();
        for (std::size_t i = 0; i < count; ++i) {
            Page& page = pages.pages[i];
            Length body = 0;
            for (const Box& box : page.boxes)
                if (box.role == Role::body) body = box.at.bottom();
            for (Box& box : page.boxes) {
                if (with_sections) mark_sections(box, next(), made_.bookmarks);
                if (box.role != Role::foot || sheets_ < 2 || sheets_ > widest_number) continue;
                Box made = foot(in, i + 1, count, {next() + 1, sheets_});
                base::require(made.at.y >= body, "a foot with the sheet's number stays clear of the body");
                box = std::move(made);
            }
            made_.pages.pages.push_back(std::move(page));
        }
        pages.pages.clear();
    }

    // What was added from a page on: its boxes get names that are their own.
    void name_fields(std::size_t from, const std::string& prefix, const std::string& says, const FieldWords& words) {
        for (std::size_t i = from; i < next(); ++i)
            for (Box& box : made_.pages.pages[i].boxes) rename(box, prefix);
        for (const auto& [name, text] : words)
            made_.words.emplace(prefix + name, text.empty() || says.empty() ? text : says + " · " + text);
    }

    Booklet taken() { return std::move(made_); }

private:
    Style style_;
    std::size_t sheets_;
    messages::Messages unsaid_; // every word of a foot was set once before, and found fault with there
    Booklet made_;
};

} // namespace

Booklet bind(const card::Cover* cover, Pages* cover_pages, const std::vector<Leaves>& cards) {
    std::size_t sheets = cover_pages == nullptr ? 0 : cover_pages->pages.size();
    for (const Leaves& each : cards) sheets += each.pages->pages.size();
    base::require(sheets > 0, "a booklet has leaves");
    Binder binder(cover_pages != nullptr ? cover_pages->paper : cards.front().pages->paper, sheets);
    if (cover != nullptr && cover_pages != nullptr) {
        card::Card shell;
        shell.language = cover->language;
        shell.head = cover->head;
        shell.foot = cover->foot;
        shell.words = cover->words;
        const FieldWords words = field_words(*cover, *cover_pages);
        binder.bookmark(cover->head.title);
        binder.number({}, true);
        binder.add(shell, *cover_pages, false);
        binder.name_fields(0, {}, {}, words);
    }
    for (const Leaves& each : cards) {
        const card::Head& head = each.card->head;
        const std::size_t from = binder.next();
        const FieldWords words = field_words(*each.card, *each.pages);
        binder.bookmark(cards.size() > 1 ? fmt::format("{}  {}", head.card, head.title) : head.title);
        binder.number(cards.size() > 1 ? fmt::format("{}-", head.card) : std::string(), false);
        binder.add(*each.card, *each.pages, true);
        if (cards.size() > 1)
            binder.name_fields(from, fmt::format("card-{}/", head.card),
                               with_numbers(each.card->words.card_of, head.card, head.cards), words);
        else
            binder.name_fields(from, {}, {}, words);
    }
    return binder.taken();
}

} // namespace benchleaf::pages
