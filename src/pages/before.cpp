// Before you start: what the vehicle, the mechanic and the bench must have, in columns of about one height.
#include "pages/parts.h"

#include "base/text.h"

#include <fmt/format.h>

#include <algorithm>

namespace benchleaf::pages {

namespace {

using fonts::Face;

struct List {
    std::string_view head;
    std::vector<Piece> items;
    Length gap;          // between items
    bool across = false; // each item over the whole width
};

Piece item(Making& in, const card::Line& line, Length width) {
    const Style& s = in.style;
    const std::string space = line.amount.empty() ? "" : " ";
    return in.setter.paragraph({{line.text, Face::regular}, {space, Face::regular}, {line.amount, Face::bold}}, width,
                               {Role::list_item, s.small});
}

Piece ticked(Making& in, std::string_view text, Length width, std::string name) {
    const Style& s = in.style;
    Piece piece = tick(s.small_tick, std::move(name));
    const Length x = s.small_tick + pt(6);
    put(piece, in.setter.paragraph(text, Face::regular, width - x, {Role::list_item, s.small}), x,
        s.small_tick / 2 + cap_height(s.small) / 2 - ascent(s.small));
    Length above = 0;
    for (const Box& box : piece.boxes) above = std::min(above, box.at.y);
    if (above < 0) {
        Piece moved;
        put(moved, std::move(piece), 0, -above);
        return moved;
    }
    return piece;
}

std::vector<List> lists_of(Making& in, Length width) {
    const card::Before& b = in.card.before;
    const card::Words& w = in.card.words;
    std::vector<List> lists;
    const auto add = [&](List list, const std::string& if_empty) {
        if (list.items.empty())
            list.items.push_back(
                in.setter.paragraph(if_empty, Face::regular, width, {Role::list_item, in.style.small}));
        lists.push_back(std::move(list));
    };
    const auto ticks = [&](std::string_view head, const std::vector<std::string>& texts, std::string_view name,
                           const std::string& if_empty) {
        List list{head, {}, pt(3)};
        for (std::size_t i = 0; i < texts.size(); ++i)
            list.items.push_back(ticked(in, texts[i], width, fmt::format("before/{}-{}", name, i + 1)));
        add(std::move(list), if_empty);
    };
    const auto lines = [&](std::string_view head, const std::vector<card::Line>& texts) {
        List list{head, {}, pt(0.5)};
        for (const card::Line& line : texts) list.items.push_back(item(in, line, width));
        add(std::move(list), w.none);
    };
    ticks(w.states, b.states, "state", w.states_none);
    // What nobody thought of is not "none" beside a caution that asks for gloves.
    if (!b.protection.empty()) ticks(w.protection, b.protection, "protection", w.none);
    lines(w.tools, b.tools);
    lines(w.consumables, b.consumables);
    lines(w.renew, b.renew);
    lines(w.may_need, b.may_need);
    return lists;
}

// A sign that the faces lack, in words of an earlier visit, must not keep the next card from being printed: the record has them all.
std::string printable(std::string_view text) {
    std::string made;
    for (std::size_t at = 0; at < text.size();) {
        const base::CodePoint point = base::code_point_at(text, at);
        const std::string_view sign = fonts::covers(point.value) ? text.substr(at, point.bytes) : std::string_view("?");
        made += point.value == '\n' ? std::string_view(" ") : sign;
        at += point.bytes;
    }
    return made;
}

// What it is at the left, its boxes at the right; under it where the two words are long.
Piece open_line(Making& in, const card::OpenList& of, std::size_t index, Length width) {
    const Style& s = in.style;
    const auto box = [&](const std::string& word, const char* name) {
        const Length wide = s.small_tick + pt(7) + in.setter.width(word, Face::regular, s.small);
        return ticked(in, word, wide, fmt::format("open/{}/{}", index + 1, name));
    };
    Piece boxes = box(of.done, "done");
    Piece still = box(of.still, "still");
    const Length right = boxes.width + pt(12) + still.width;
    put(boxes, std::move(still), boxes.width + pt(12), 0);
    const bool beside = right < width / 2;
    const card::OpenLine& line = of.lines[index];
    const std::string what = printable(line.what);
    const std::string visit = printable(line.visit);
    Piece words = in.setter.paragraph({{what, Face::bold}, {" · ", Face::regular}, {visit, Face::regular}},
                                      beside ? width - right - pt(12) : width, {Role::list_item, s.small});
    Piece row;
    if (beside) { // the first line level with the words of the boxes
        put(row, std::move(words), 0,
            std::max<Length>(0, s.small_tick / 2 + cap_height(s.small) / 2 - ascent(s.small)));
        put(row, std::move(boxes), width - right, 0);
    } else {
        put(row, std::move(words), 0, 0);
        put_under(row, std::move(boxes), pt(2));
    }
    return piece_of(boxed(Role::list_item, std::move(row), {}, width));
}

List open_items(Making& in) {
    const card::OpenList& of = in.card.before.open;
    const Length width = in.style.sheet.width;
    List list{of.title, {}, pt(3), true};
    for (std::size_t i = 0; i < of.lines.size(); ++i) list.items.push_back(open_line(in, of, i, width));
    if (!of.more.empty())
        list.items.push_back(
            in.setter.paragraph(printable(of.more), Face::regular, width, {Role::list_item, in.style.small}));
    return list;
}

Piece list_head(Making& in, std::string_view text, Length width) {
    return in.setter.paragraph(text, Face::bold, width, {Role::list_head, in.style.step});
}

Piece one_list(Making& in, List list, Length width) {
    Piece all;
    put_under(all, list_head(in, list.head, width), 0);
    for (Piece& one : list.items) put_under(all, std::move(one), list.gap);
    return piece_of(boxed(Role::list, std::move(all), {}, width));
}

// The lists in order over that many columns, so that the tallest column is as short as can be.
Piece in_columns(std::vector<Piece> lists, std::size_t columns, Length width, Length gutter, Length apart) {
    const std::size_t count = lists.size();
    const auto height = [&](std::size_t from, std::size_t to) {
        Length sum = 0;
        for (std::size_t i = from; i < to; ++i) sum += lists[i].height + (i == from ? 0 : apart);
        return sum;
    };
    // A list more than the tallest lets go down: raise the limit to the next height that some column would have.
    std::vector<Length> limits;
    for (std::size_t i = 0; i < count; ++i)
        for (std::size_t j = i + 1; j <= count; ++j) limits.push_back(height(i, j));
    std::sort(limits.begin(), limits.end());
    std::vector<std::size_t> starts;
    for (const Length limit : limits) {
        starts = {0};
        bool fits = true;
        for (std::size_t i = 0; i < count; ++i) {
            if (lists[i].height > limit) fits = false;
            if (height(starts.back(), i + 1) > limit) starts.push_back(i);
        }
        if (fits && starts.size() <= columns) break;
    }
    Piece all;
    for (std::size_t c = 0; c < starts.size(); ++c) {
        const std::size_t end = c + 1 < starts.size() ? starts[c + 1] : count;
        Piece column;
        for (std::size_t i = starts[c]; i < end; ++i) put_under(column, std::move(lists[i]), apart);
        put(all, std::move(column), static_cast<Length>(c) * (width + gutter), 0);
    }
    return all;
}

} // namespace

Length width_of_values(Making& in, const std::vector<card::TorqueLine>& lines, Length width) {
    Length widest = 0;
    for (const card::TorqueLine& line : lines) {
        const Length value = in.setter.width(line.value, Face::bold, in.style.figure) + pt(1);
        if (value <= width / 4) widest = std::max(widest, value);
    }
    return widest;
}

Piece torque_line(Making& in, const card::TorqueLine& line, Length value, Length width, const std::string& page) {
    const Style& s = in.style;
    const Length where = page.empty() ? 0 : in.setter.width(page, Face::bold, s.step) + pt(0.5);
    const Length room = width - where - (where == 0 ? 0 : pt(8));
    // Of stages the value is long: what it is of stands under it.
    const bool beside = in.setter.width(line.value, Face::bold, s.figure) < value;
    Piece row = in.setter.paragraph(line.value, Face::bold, beside ? value : room, {Role::torque_figure, s.figure});
    const Length x = value == 0 ? 0 : value + pt(7);
    const Length y = beside ? ascent(s.figure) - ascent(s.small) : row.height;
    put(row,
        in.setter.paragraph({{line.name, Face::bold}, {" · ", Face::regular}, {line.about, Face::regular}}, room - x,
                            {Role::list_item, s.small}),
        x, y);
    if (where != 0)
        put(row, in.setter.paragraph(page, Face::bold, where, {Role::text, s.step}), width - where,
            ascent(s.figure) - ascent(s.step));
    return piece_of(boxed(Role::list_item, std::move(row), {}, width));
}

void add_before(Making& in, std::vector<Block>& to, Length page) {
    const Style& s = in.style;
    const card::Before& b = in.card.before;
    in.setter.at("“before you start”");
    const std::size_t columns = s.paper == Paper::a5 ? 2 : 3;
    const Length gutter = pt(16);
    const Length width = (s.sheet.width - static_cast<Length>(columns - 1) * gutter) / static_cast<Length>(columns);

    Piece title = in.setter.paragraph(in.card.words.before, Face::bold, s.sheet.width, {Role::list_head, s.head});
    if (!b.minutes.empty()) {
        const std::string text = in.card.words.minutes.empty() ? b.minutes : in.card.words.minutes + " " + b.minutes;
        const Length wide = in.setter.width(text, Face::bold, s.step);
        if (title.width + gutter + wide <= s.sheet.width)
            put(title, in.setter.paragraph(text, Face::bold, s.sheet.width, {Role::label, s.step}),
                s.sheet.width - wide, ascent(s.head) - ascent(s.step));
    }
    Piece cautions;
    for (const auto& level : by_level(b.cautions)) put_under(cautions, caution(in, level, s.sheet.width), pt(4));
    std::vector<List> lists = lists_of(in, width);

    Piece all;
    Length widest = 0;
    std::vector<Piece> pieces;
    for (List& list : lists) {
        Piece copy = one_list(in, list, width); // the lists stay, for a card whose lists fill more than a page
        widest = std::max(widest, copy.width);
        pieces.push_back(std::move(copy));
    }
    Piece whole_title = title;
    put_under(all, std::move(whole_title), 0);
    put_under(all, cautions, pt(4));
    if (!b.open.lines.empty()) {
        lists.insert(lists.begin(), open_items(in));
        put_under(all, one_list(in, lists.front(), s.sheet.width), pt(6));
    }
    put_under(all, in_columns(std::move(pieces), columns, width, gutter, pt(8)), pt(b.open.lines.empty() ? 5 : 9));
    if (in.torques && !b.torques.empty()) {
        List torques{in.card.words.torques, {}, pt(1), true};
        const Length value = width_of_values(in, b.torques, s.sheet.width);
        for (const card::TorqueLine& line : b.torques)
            torques.items.push_back(torque_line(in, line, value, s.sheet.width, {}));
        lists.push_back(std::move(torques));
        put_under(all, one_list(in, lists.back(), s.sheet.width), pt(8));
    }
    if (all.height <= page) {
        Piece placed;
        put(placed, std::move(all), s.sheet.x, 0);
        Box box = boxed(Role::before_start, std::move(placed));
        box.at = {s.sheet.x, 0, s.sheet.width, box.at.height};
        Block block;
        block.piece = piece_of(std::move(box));
        block.place = in.setter.place();
        to.push_back(std::move(block));
        return;
    }
    // Too much for one block: each list in lines from left to right, and a line may be the last on its page.
    const auto add = [&](Piece piece, Length above, bool with_next) -> Block& {
        Block block;
        put(block.piece, std::move(piece), s.sheet.x, 0);
        block.above = above;
        block.with_next = with_next;
        block.group = Role::before_start;
        block.place = in.setter.place();
        to.push_back(std::move(block));
        return to.back();
    };
    add(std::move(title), 0, true);
    for (const card::Caution& one : b.cautions) add(caution(in, {&one, 1}, s.sheet.width), pt(4), false);
    for (List& list : lists) {
        Piece again;
        put(again,
            in.setter.paragraph(
                {{list.head, Face::bold}, {fmt::format(" ({})", in.card.words.continued), Face::regular}},
                s.sheet.width, {Role::list_head, s.step}),
            s.sheet.x, 0);
        const auto head = std::make_shared<const Piece>(std::move(again));
        add(list_head(in, list.head, s.sheet.width), pt(6), true);
        const std::size_t beside = list.across ? 1 : columns;
        for (std::size_t i = 0; i < list.items.size(); i += beside) {
            Piece line;
            for (std::size_t k = i; k < std::min(i + beside, list.items.size()); ++k)
                put(line, std::move(list.items[k]), static_cast<Length>(k - i) * (width + gutter), 0);
            Block& block = add(std::move(line), list.gap, false);
            if (i != 0) block.again = head;
        }
    }
}

} // namespace benchleaf::pages
