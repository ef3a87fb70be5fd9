// Section heads and rows: the number in its column, the ticks in theirs, the text in the middle, what is read or written
// at the right or, where the text would be squeezed, under it.
#include "pages/parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace benchleaf::pages {

namespace {

using fonts::Face;

struct Frame {   // of one row
    Length left; // where a set-in row starts
    Length text_x;
    Length right;
    Length base; // of the first line and of the number
    Length text_y;
    Length tick_y;
};

Frame frame_of(const Style& s, const card::Section& section, std::uint32_t depth) {
    Frame f{};
    const Length in = static_cast<Length>(depth) * s.set_in;
    f.left = s.number_x + in;
    f.text_x = text_x_of(s, section) + in;
    f.right = s.right();
    // The middle of the tick box and the middle of the capitals of the first line are at one height.
    f.base = std::max(s.tick / 2 + cap_height(s.step) / 2, ascent(s.head));
    f.text_y = f.base - ascent(s.step);
    f.tick_y = f.base - cap_height(s.step) / 2 - s.tick / 2;
    return f;
}

std::vector<Column> columns_of(const card::Section& section, const card::Row& row) {
    std::vector<Column> columns;
    for (std::size_t i = 0; i < section.columns.size() && i < row.marks.size(); ++i)
        if (row.marks[i]) columns.push_back({section.columns[i], i});
    return columns;
}

// For boxes of a row that has none of the section's ticks: one, without a head.
std::vector<Column> at_least_one(std::vector<Column> columns) {
    if (columns.empty()) columns.push_back({"", 0});
    return columns;
}

Piece ticks(Making& in, const card::Section& section, const std::vector<Column>& columns, const std::string& row) {
    const Style& s = in.style;
    const TickColumns t = tick_columns(s, section.columns);
    Piece all;
    std::size_t shown = 0;
    for (const Column& column : columns) {
        if (column.head.empty()) { // worked once
            put(all, drawn(Role::tick, {0, 0, t.across, s.tick}, framed(box_line, pt(1.5)),
                           fmt::format("{}/tick/{}", row, column.index + 1)));
            continue;
        }
        const std::size_t place = t.stacked ? shown++ : place_of_column(section.columns, column.index);
        const Length x = static_cast<Length>(place % t.per_line) * t.pitch;
        const Length y = static_cast<Length>(place / t.per_line) * (s.tick + pt(4));
        if (t.stacked && !column.head.empty())
            put(all, in.setter.paragraph(column.head, Face::bold, t.label, {Role::label, s.figure}), x,
                y + (s.tick - line_height(s.figure)) / 2);
        put(all, tick(s.tick, fmt::format("{}/tick/{}", row, column.index + 1)), x + t.label, y);
    }
    return all;
}

// "yes → 12", to be found from an arm's length: where it leads is as plain as the word.
Piece says(Making& in, std::string_view word, std::string_view goes, Length width) {
    const Style& s = in.style;
    Piece all = in.setter.paragraph(word, Face::bold, width, {Role::text, s.keep});
    if (goes.empty()) return all;
    const Length x = all.width + pt(6);
    const Length base = ascent(s.keep) - ascent(s.figure);
    if (x + in.setter.width(goes, Face::bold, s.figure) <= width || width - x >= pt(90))
        put(all, in.setter.paragraph(goes, Face::bold, width - x, {Role::text, s.figure}), x, base);
    else
        put_under(all, in.setter.paragraph(goes, Face::bold, width, {Role::text, s.figure}), 0);
    return all;
}

// One answer: a box in each column, and where it leads.
Piece answer(Making& in, std::string_view word, std::string_view goes, std::string_view name,
             const std::vector<Column>& columns, Length room, const std::string& row) {
    const Style& s = in.style;
    std::vector<Piece> boxes;
    for (const Column& column : columns) {
        Piece one;
        if (!column.head.empty()) {
            put(one, in.setter.paragraph(column.head, Face::bold, room, {Role::label, s.figure}), 0,
                (s.answer_tick - line_height(s.figure)) / 2);
            one.width += pt(4);
        }
        const Length x = one.width;
        put(one, tick(s.answer_tick, fmt::format("{}/{}/{}", row, name, column.index + 1)), x, 0);
        boxes.push_back(std::move(one));
    }
    Piece line = flow(std::move(boxes), room, pt(7), pt(4));
    const Length x = line.width + pt(6);
    if (line.height <= s.answer_tick && x + pt(60) <= room) {
        const Length y = std::max<Length>(0, s.answer_tick / 2 + cap_height(s.keep) / 2 - ascent(s.keep));
        put(line, says(in, word, goes, room - x), x, y);
        return piece_of(boxed(Role::answer, std::move(line)));
    }
    Piece whole = says(in, word, goes, room);
    put_under(whole, std::move(line), pt(2));
    return piece_of(boxed(Role::answer, std::move(whole)));
}

// What is answered, with the bar of a panel before it.
Piece barred(const Style& s, Piece all, Length width, const std::string& row) {
    Piece inside;
    const Length height = all.height;
    put(inside, piece_of(drawn(Role::bar, {0, 0, s.panel_bar, height}, filled(0))), 0, 0);
    put(inside, std::move(all), s.panel_bar + s.panel_pad, 0);
    return piece_of(boxed(Role::panel, std::move(inside), row + "/panel", width));
}

// The answers of a question: a box for each, and where each goes. A column each where the section has several.
Piece answers(Making& in, const card::Question& question, const std::vector<Column>& columns, Length width,
              const std::string& row) {
    const Length room = width - in.style.panel_bar - in.style.panel_pad;
    std::vector<Piece> both;
    both.push_back(answer(in, question.yes, question.yes_goes, "yes", columns, room, row));
    both.push_back(answer(in, question.no, question.no_goes, "no", columns, room, row));
    // A tick for each side stands before its word: beside one another, the second pair would be taken for that of the first word.
    Piece all;
    if (columns.size() == 2)
        for (Piece& each : both) put_under(all, std::move(each), all.empty() ? 0 : pt(5));
    else
        all = flow(std::move(both), room, pt(18), pt(5));
    return barred(in.style, std::move(all), width, row);
}

// A box for yes; for no a tick for each round, a line for each column.
Piece rounds(Making& in, const card::Repeat& repeat, const std::vector<Column>& columns, Length width,
             const std::string& row) {
    const Style& s = in.style;
    const Length room = width - s.panel_bar - s.panel_pad;
    Piece all;
    put_under(all, answer(in, repeat.yes, repeat.yes_goes, "yes", columns, room, row), 0);
    for (const Column& column : columns) {
        std::vector<Piece> boxes;
        const auto label = [&](std::string_view text, Length behind) {
            Piece head;
            put(head, in.setter.paragraph(text, Face::bold, room, {Role::label, s.figure}), 0,
                (s.tick - line_height(s.figure)) / 2);
            head.width += behind;
            boxes.push_back(std::move(head));
        };
        label(repeat.no, pt(2));
        if (!column.head.empty()) label(column.head, pt(8)); // or it would be read with the round's number
        for (std::uint32_t i = 0; i < repeat.rounds; ++i) {
            Piece one;
            put(one, in.setter.paragraph(std::to_string(i + 1), Face::regular, width, {Role::label, s.small}), 0,
                (s.tick - line_height(s.small)) / 2);
            one.width += pt(3);
            const Length x = one.width;
            put(one, tick(s.tick, fmt::format("{}/round-{}/{}", row, i + 1, column.index + 1)), x, 0);
            boxes.push_back(std::move(one));
        }
        put_under(all, flow(std::move(boxes), room, pt(9), pt(4)), pt(5));
    }
    return barred(s, std::move(all), width, row);
}

// The sign of a decision (ISO 5807) over both columns of ticks.
Piece question_sign(Making& in) {
    const Style& s = in.style;
    const Length wide = tick_columns(s, {"", ""}).pitch + s.tick;
    const Length tall = pt(28);
    Piece inside;
    put(inside, in.setter.paragraph("?", Face::bold, wide, {Role::mark, s.keep, Align::centre}), 0,
        tall / 2 + cap_height(s.keep) / 2 - ascent(s.keep));
    Box sign = boxed(Role::mark, std::move(inside), {}, wide, tall);
    const Length in_by = pt(0.8);
    sign.paint = Line{
        {{wide / 2, in_by}, {wide - in_by, tall / 2}, {wide / 2, tall - in_by}, {in_by, tall / 2}, {wide / 2, in_by}},
        pt(1.3),
        0,
        0};
    return piece_of(std::move(sign));
}

// The short lines under a step and its reason, run on where that takes fewer lines.
Piece asides(Making& in, const card::Step& step, Length room) {
    const Style& s = in.style;
    Piece apart;
    for (const std::string& note : step.notes)
        put_under(apart, in.setter.paragraph(note, Face::regular, room, {Role::label, s.small}), pt(1));
    put_under(apart, in.setter.paragraph(step.why, Face::italic, room, {Role::why, s.small}), pt(1));
    std::string run;
    for (const std::string& note : step.notes) run += (run.empty() ? "" : " · ") + note;
    const std::string_view dash = run.empty() || step.why.empty() ? "" : " – ";
    Piece together = in.setter.paragraph({{run, Face::regular}, {dash, Face::regular}, {step.why, Face::italic}}, room,
                                         {Role::why, s.small});
    return together.height < apart.height ? std::move(together) : std::move(apart);
}

struct Middle { // what stands in the middle of a row
    Piece text;
    Piece panel;
    bool under = false;
};

// A picture across the row. What its numbers stand for is beside it, where that costs no more than a quarter of its size; else under it.
Piece picture_across(Making& in, const card::Picture& what, Length room, const std::string& row) {
    const Style& s = in.style;
    constexpr Length least_legend = pt(110);
    const Length tall = in.picture != 0 ? in.picture : s.picture;
    Piece all = picture(in, what, room, tall, row);
    const Length left = std::max<Length>(0, room - s.gutter - least_legend);
    Piece smaller = what.legend.empty() ? Piece{} : picture(in, what, left, tall, row);
    if (smaller.width * 4 >= all.width * 3) {
        all = std::move(smaller);
        const Length x = all.width + s.gutter;
        put(all, legend(in, what, room - x), x, 0);
    } else {
        put_under(all, legend(in, what, room), pt(4));
    }
    return all;
}

} // namespace

// STOP, to be read from across the room: white on black, as large as the width lets it be; the reason black under it, as small white type fills up on a copy.
Piece stop_block(Making& in, const card::Stop& stop, Length width) {
    const Style& s = in.style;
    const Length pad = pt(8);
    const Length frame = pt(2.2);
    const Length room = width - 2 * pad;
    const Length largest = s.paper == Paper::a5 ? pt(26) : pt(33);
    const Length least = s.keep;
    Length size = largest;
    const Length at_large = in.setter.width(stop.headline, Face::bold, largest);
    if (at_large > room)
        size = std::max(least, static_cast<Length>(static_cast<std::int64_t>(largest) * room / at_large / 100 * 100));
    Piece words = in.setter.paragraph(stop.headline, Face::bold, room, {Role::stop, size, Align::left, 255});
    Piece black;
    put(black, std::move(words), pad, 0);
    const Length tall = black.height + pt(2);
    Box block = boxed(Role::stop, std::move(black), {}, width, tall);
    block.paint = filled(0);
    Piece inside;
    put(inside, piece_of(std::move(block)), 0, 0);
    put_under(inside, in.setter.paragraph(stop.why, Face::bold, room, {Role::text, s.figure}), pt(2), pad);
    const Length height = inside.height + pt(3) + frame;
    Box box = boxed(Role::stop, std::move(inside), {}, width, height);
    box.paint = framed(frame);
    return piece_of(std::move(box));
}

Piece section_head(Making& in, const card::Section& section, bool continued) {
    const Style& s = in.style;
    Piece all;
    const TickColumns t = tick_columns(s, section.columns);
    const Length base = ascent(s.head);
    const Length text_x = text_x_of(s, section);
    if (!t.stacked)
        for (std::size_t i = 0; i < section.columns.size(); ++i) {
            if (section.columns[i].empty()) continue;
            Piece head = in.setter.paragraph(section.columns[i], Face::bold, s.tick,
                                             {Role::column_head, s.figure, Align::centre});
            put(all, std::move(head), s.ticks_x + static_cast<Length>(place_of_column(section.columns, i)) * t.pitch,
                base - ascent(s.figure));
        }
    if (section.title.empty() && all.empty()) return all;
    const Length room = s.right() - text_x;
    std::string more =
        continued && !section.title.empty() ? fmt::format(" ({})", in.card.words.continued) : std::string();
    Piece title = in.setter.paragraph({{section.title, Face::bold}, {more, Face::regular}}, room, {Role::text, s.head});
    const Length title_width = title.width;
    const Length title_height = title.height;
    put(all, std::move(title), text_x, 0);
    if (!section.order.empty()) {
        const Length order = in.setter.width(section.order, Face::regular, s.small);
        const Length beside = title_width + (title_width == 0 ? 0 : pt(10));
        if (title_height <= line_height(s.head) && beside + order <= room)
            put(all, in.setter.paragraph(section.order, Face::regular, room, {Role::label, s.small}), text_x + beside,
                base - ascent(s.small));
        else if (!continued) // it was told
            put(all, in.setter.paragraph(section.order, Face::regular, room, {Role::label, s.small}), text_x,
                title_height);
    }
    Piece whole;
    all.height += pt(2);
    const Length y = all.height;
    put(whole, std::move(all), 0, 0);
    put(whole, drawn(Role::rule, {s.sheet.x, y, s.sheet.width, pt(1.5)}, filled(0)));
    Box box = boxed(Role::section_head, std::move(whole),
                    continued || section.title.empty() ? "" : section_mark + section.title);
    box.at = {s.sheet.x, 0, s.sheet.width, box.at.height};
    return piece_of(std::move(box));
}

Piece branch_head(Making& in, const card::Row& row, bool continued) {
    const Style& s = in.style;
    const auto& branch = std::get<card::Branch>(row.what);
    const Length x = s.number_x + static_cast<Length>(row.depth) * s.set_in;
    std::string more = continued ? fmt::format(" ({})", in.card.words.continued) : std::string();
    Piece all;
    put(all,
        in.setter.paragraph({{branch.text, Face::bold}, {more, Face::regular}}, s.right() - x, {Role::text, s.figure}),
        x, 0);
    Box box = boxed(Role::section_head, std::move(all), row.name);
    box.at = {x, 0, s.right() - x, box.at.height};
    return piece_of(std::move(box));
}

Piece row(Making& in, const card::Section& section, const card::Row& row, Squeezed squeezed) {
    const bool across = squeezed != Squeezed::no;
    const bool figures = std::exchange(in.figures, squeezed != Squeezed::plain); // until this row is set
    const Style& s = in.style;
    const Frame f = frame_of(s, section, row.depth);
    const std::vector<Column> marked = columns_of(section, row);
    const std::vector<Column> columns = at_least_one(marked);
    Piece whole;
    Length top = 0;
    for (const auto& level : by_level(row.cautions)) {
        Piece piece = caution(in, level, f.right - f.left);
        if (across) {
            Piece under = caution(in, level, f.right - f.left, true);
            if (under.height < piece.height) piece = std::move(under);
        }
        const Length height = piece.height;
        put(whole, std::move(piece), f.left, top);
        top += height + pt(4);
    }
    if (top != 0) top += pt(3);

    Piece number =
        in.setter.paragraph(std::to_string(row.number), Face::bold, s.ticks_x - f.left, {Role::number, s.head});
    put(whole, std::move(number), f.left, top + f.base - ascent(s.head));

    Length text_x = f.text_x;
    const Length room = f.right - f.text_x;
    const auto* worked = std::get_if<card::Step>(&row.what);
    const bool writes = worked != nullptr && std::holds_alternative<card::Note>(worked->panel);
    const Length panel_width = writes && s.paper != Paper::a5 && !row.picture ? s.note : s.panel;
    const Length beside = room - panel_width - s.gutter;
    // A picture stands in the column of the panels, under what is read or written there.
    const bool picture_beside =
        row.picture && !across && beside >= s.least_text && !std::holds_alternative<card::Stop>(row.what);
    Middle middle;
    Role role = Role::step;
    bool asks = false;
    // The panel is set once it is known whether it stands beside the text or under it.
    const auto place_panel = [&](bool wide) {
        middle.under = wide || across || beside < s.least_text;
        return across ? f.right - f.left : middle.under ? room : panel_width;
    };
    if (const auto* step = std::get_if<card::Step>(&row.what)) {
        middle.panel = panel(in, *step, columns, place_panel(wants_width(*step, columns)), row.name);
        const bool alone = middle.panel.empty() && !picture_beside;
        const Length text_room = alone || middle.under ? room : beside;
        put_under(middle.text, in.setter.paragraph(step->text, Face::regular, text_room, {Role::text, s.step}), 0);
        put_under(middle.text, asides(in, *step, text_room), pt(1));
    } else if (const auto* question = std::get_if<card::Question>(&row.what)) {
        role = Role::question;
        asks = true;
        const auto words = [&](Length wide) {
            Piece text = in.setter.paragraph(question->text, Face::bold, wide, {Role::text, s.step});
            for (const std::string& basis : question->basis)
                put_under(text, in.setter.paragraph(basis, Face::regular, wide, {Role::label, s.small}), pt(1));
            return text;
        };
        // Its answers stand under it where that takes less height than beside it.
        middle.panel = answers(in, *question, columns, place_panel(columns.size() > 4), row.name);
        middle.text = words(middle.under ? room : beside);
        if (!middle.under && !picture_beside) {
            Piece below = answers(in, *question, columns, room, row.name);
            Piece wide = words(room);
            if (wide.height + pt(5) + below.height < std::max(middle.text.height, middle.panel.height)) {
                middle = {std::move(wide), std::move(below), true};
            }
        }
    } else if (const auto* repeat = std::get_if<card::Repeat>(&row.what)) {
        role = Role::repeat;
        middle.panel = rounds(in, *repeat, columns, place_panel(false), row.name);
        const Length text_room = middle.under ? room : beside;
        put_under(middle.text, in.setter.paragraph(repeat->text, Face::bold, text_room, {Role::text, s.step}), 0);
        for (const std::string& line : repeat->basis)
            put_under(middle.text, in.setter.paragraph(line, Face::regular, text_room, {Role::label, s.small}), pt(1));
        put_under(middle.text, in.setter.paragraph(repeat->again, Face::regular, text_room, {Role::text, s.step}),
                  pt(1));
        put_under(middle.text, in.setter.paragraph(repeat->otherwise, Face::regular, text_room, {Role::label, s.small}),
                  pt(1));
    } else if (const auto* stop = std::get_if<card::Stop>(&row.what)) {
        role = Role::stop;
        // Without ticks it takes their place too.
        if (marked.empty()) text_x = s.ticks_x;
        middle.text = stop_block(in, *stop, f.right - text_x);
    }

    if (row.picture && picture_beside && !middle.under) {
        put_under(middle.panel,
                  picture(in, *row.picture, panel_width, in.picture != 0 ? in.picture : s.picture, row.name), pt(7));
        put_under(middle.text, legend(in, *row.picture, beside), pt(6));
    }

    if (asks || role == Role::repeat) {
        put(whole, question_sign(in), s.ticks_x, top + f.tick_y + s.tick / 2 - pt(14));
    } else {
        put(whole, ticks(in, section, marked, row.name), s.ticks_x, top + f.tick_y);
    }
    const Length text_y = role == Role::stop ? top : top + f.text_y;
    const Length text_bottom = text_y + middle.text.height;
    put(whole, std::move(middle.text), text_x, text_y);
    if (!middle.panel.empty()) {
        if (across)
            put(whole, std::move(middle.panel), f.left, std::max(text_bottom, whole.height) + pt(5));
        else if (middle.under)
            put(whole, std::move(middle.panel), f.text_x, std::max(text_bottom + pt(5), top));
        else
            put(whole, std::move(middle.panel), f.right - panel_width, top);
    }
    if (row.picture && (!picture_beside || middle.under)) {
        const Length x = across ? f.left : text_x;
        put(whole, picture_across(in, *row.picture, f.right - x, row.name), x,
            std::max(text_bottom, whole.height) + pt(7));
    }
    // Nothing stands over the top: a large sign may rise above the first line.
    Length above = 0;
    for (const Box& box : whole.boxes) above = std::min(above, box.at.y);
    if (above < 0) {
        Piece moved;
        put(moved, std::move(whole), 0, -above);
        whole = std::move(moved);
    }
    Length bottom = 0;
    for (const Box& box : whole.boxes) bottom = std::max(bottom, box.at.bottom());
    Box box = boxed(role, std::move(whole), row.name);
    box.at = {f.left, 0, f.right - f.left, bottom};
    in.figures = figures;
    return piece_of(std::move(box));
}

} // namespace benchleaf::pages
