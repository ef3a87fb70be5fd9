// The panel at the right of a row: what is read there and what is written there, with a heavy bar at its left. The figure
// that counts is the largest thing in the row.
#include "pages/figures.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>
#include <utility>

namespace benchleaf::pages {

namespace {

using fonts::Face;

constexpr Length half_gap = pt(4);
constexpr Length cell_gap = pt(8);

Length head_width(Making& in, const std::vector<Column>& columns) {
    Length widest = 0;
    for (const Column& column : columns)
        if (!column.head.empty()) widest = std::max(widest, in.setter.width(column.head, Face::bold, in.style.figure));
    return widest == 0 ? 0 : widest + half_gap;
}

Piece head_beside(Making& in, std::string_view head, Length width, Length height) {
    Piece piece;
    if (head.empty()) return piece;
    Piece word = in.setter.paragraph(head, Face::bold, width, {Role::label, in.style.figure});
    put(piece, std::move(word), 0, std::max<Length>(0, (height - line_height(in.style.figure)) / 2));
    return piece;
}

// A box to write in, with a word in its lower right corner and one in its upper left.
Piece write_box(Making& in, Role role, Length width, Length height, std::string_view corner, std::string_view unit,
                std::string name) {
    Piece inside;
    const Length pad = pt(2.5);
    if (!corner.empty())
        put(inside, in.setter.paragraph(corner, Face::regular, width, {Role::label, in.style.fine}), pad, pt(0.8));
    if (!unit.empty()) {
        Piece word = in.setter.paragraph(unit, Face::regular, width, {Role::label, in.style.fine});
        const Length x = width - pad - word.width;
        put(inside, std::move(word), x, height - line_height(in.style.fine) - pt(0.8));
    }
    Box box = boxed(role, std::move(inside), std::move(name), width, height);
    box.paint = framed(box_line, pt(1.5));
    return piece_of(std::move(box));
}

// One box a column, or as many as there are `corners`: a word for the corner of each, and its name.
struct Corner {
    std::string word;
    std::string name;
};
using Corners = std::vector<Corner>;

Corners points_of(std::uint32_t points) {
    Corners all;
    for (std::uint32_t i = 1; i <= points; ++i) all.push_back({std::to_string(i), fmt::format("/{}", i)});
    return all;
}
Corners rounds_of(const card::Again& again) {
    Corners all;
    for (std::uint32_t i = 1; i <= again.boxes; ++i)
        all.push_back({"↻ " + card::rounds_of(again, i), fmt::format("/again-{}", i)});
    return all;
}
// The first time, and each time again.
Corners with_rounds(const card::Again& again) {
    Corners all = rounds_of(again);
    all.insert(all.begin(), Corner{});
    return all;
}

// Boxes with the column's head beside each, in even lines.
Piece boxes_of_columns(Making& in, Role role, const std::vector<Column>& columns, const Corners& corners,
                       std::string_view unit, Length width, const std::string& name) {
    const Style& s = in.style;
    const Length head = head_width(in, columns);
    const std::size_t each = corners.size();
    Piece all;
    // One box a column: they share lines. Several: each column has its own lines.
    const std::size_t in_line = each == 1 ? columns.size() : each;
    const Length lead = each == 1 ? 0 : head;
    const Length before = each == 1 ? head : 0;
    const Length cell = before + s.reading_width + cell_gap;
    const auto most = static_cast<std::size_t>(std::max<Length>(1, (width - lead + cell_gap) / cell));
    std::size_t lines = (in_line + most - 1) / most;
    const std::size_t per_line = (in_line + lines - 1) / lines; // even lines
    const Length room = (width - lead + cell_gap) / static_cast<Length>(per_line) - cell_gap - before;
    const Length wide = std::min(room, mm(29));
    // Columns of few boxes share lines, too.
    const Length group = lead + static_cast<Length>(per_line) * (wide + cell_gap) + cell_gap;
    const std::size_t beside =
        each == 1 || lines > 1 ? 1 : static_cast<std::size_t>(std::max<Length>(1, (width + 2 * cell_gap) / group));
    Length y = 0;
    std::size_t at = 0;
    for (std::size_t c = 0; c < columns.size(); ++c) {
        const Column& column = columns[c];
        const Length from = each == 1 ? 0 : static_cast<Length>(c % beside) * group;
        for (std::size_t corner = 0; corner < each; ++corner, ++at) {
            if (at != 0 && at % per_line == 0 && each == 1) y += s.reading_height + half_gap;
            if (each > 1 && corner != 0 && corner % per_line == 0) y += s.reading_height + half_gap;
            const std::size_t place = (each == 1 ? at : corner) % per_line;
            const Length x = from + lead + static_cast<Length>(place) * (before + wide + cell_gap);
            if (corner == 0) put(all, head_beside(in, column.head, head, s.reading_height), each == 1 ? x : from, y);
            put(all,
                write_box(in, role, wide, s.reading_height, corners[corner].word, unit,
                          fmt::format("{}/{}{}", name, column.index + 1, corners[corner].name)),
                x + before, y);
        }
        if (each > 1 && (c + 1) % beside == 0)
            y += s.reading_height + half_gap + (c + 1 == columns.size() ? 0 : half_gap);
    }
    return all;
}

// As `flow`, but where a line holds four of five they lie as three over two.
Piece in_even_lines(std::vector<Piece> parts, Length width, Length gap, Length line_gap) {
    Length widest = 0;
    for (const Piece& part : parts) widest = std::max(widest, part.width);
    const std::size_t most = static_cast<std::size_t>(std::max<Length>(1, (width + gap) / (widest + gap)));
    const std::size_t lines = (parts.size() + most - 1) / most;
    const std::size_t each = (parts.size() + lines - 1) / lines;
    return flow(std::move(parts), static_cast<Length>(each) * (widest + gap) - gap, gap, line_gap);
}

// A line of boxes for initials: what for at the left, a box for each column at the right; in a repeat a line for each column.
Piece initials(Making& in, std::string_view what, std::string_view note, const std::vector<Column>& columns,
               const card::Again& again, Length width, const std::string& name) {
    const Style& s = in.style;
    const Length head = head_width(in, columns);
    if (again.boxes > 0) {
        Piece all = in.setter.paragraph(what, Face::bold, width, {Role::label, s.small});
        put_under(all, in.setter.paragraph(note, Face::regular, width, {Role::label, s.fine}), 0);
        std::vector<Piece> lines;
        for (const Column& column : columns) {
            std::vector<Piece> boxes;
            for (const Corner& corner : with_rounds(again))
                boxes.push_back(write_box(in, Role::initials_box, s.initials_width, s.initials_height, corner.word, {},
                                          fmt::format("{}/{}{}", name, column.index + 1, corner.name)));
            Piece line;
            put(line, head_beside(in, column.head, head, s.initials_height), 0, 0);
            put(line, flow(std::move(boxes), width - head, half_gap, half_gap), head, 0);
            lines.push_back(std::move(line));
        }
        put_under(all, flow(std::move(lines), width, 2 * cell_gap, half_gap), pt(2));
        put_under(all, in.setter.paragraph(card::note_of(again), Face::regular, width, {Role::label, s.fine}), pt(1));
        return all;
    }
    const Length box = in.figures ? s.initials_width : s.least_initials;
    const Length gap = in.figures ? cell_gap : half_gap;
    const Length cell = head + box;
    std::vector<Piece> cells;
    for (const Column& column : columns) {
        Piece one;
        put(one, head_beside(in, column.head, head, s.initials_height), 0, 0);
        put(one,
            write_box(in, Role::initials_box, box, s.initials_height, {}, {},
                      fmt::format("{}/{}", name, column.index + 1)),
            head, 0);
        cells.push_back(std::move(one));
    }
    const auto count = static_cast<Length>(columns.size());
    const Length boxes = count * cell + (count - 1) * gap;
    const Length beside = width - boxes - gap;
    const bool stands_beside = beside >= pt(52) && in.setter.width(what, Face::bold, s.small) <= 2 * beside;
    const Manner plain{Role::label, s.fine};
    Piece words = in.setter.paragraph(what, Face::bold, stands_beside ? beside : width, {Role::label, s.small});
    Piece all;
    if (stands_beside) {
        // The note under its word where it takes one line there, else under the boxes.
        const bool short_note =
            in.setter.width(note, Face::regular, s.fine) <= beside && words.height <= line_height(s.small);
        if (short_note) put_under(words, in.setter.paragraph(note, Face::regular, beside, plain), 0);
        const Length above = std::max<Length>(0, (s.initials_height - words.height) / 2);
        put(all, std::move(words), 0, above);
        put(all, flow(std::move(cells), boxes, gap, half_gap), width - boxes, 0);
        if (!short_note) put_under(all, in.setter.paragraph(note, Face::regular, width, plain), pt(1));
    } else {
        put_under(words, in.setter.paragraph(note, Face::regular, width, plain), 0);
        put_under(all, std::move(words), 0);
        put_under(all, in_even_lines(std::move(cells), width, gap, half_gap), pt(2));
    }
    return all;
}

// Who works alone looks again when he has done something else: a box of its own, which asks when.
Piece second_look(Making& in, const card::Step& step, const std::vector<Column>& columns, Length width,
                  const std::string& name) {
    const Style& s = in.style;
    const Length pad = pt(6);
    const Length room = width - 2 * pad;
    const Length head = head_width(in, columns);
    Piece all = in.setter.paragraph(in.card.words.second_check, Face::bold, room, {Role::label, s.small});
    put_under(all, in.setter.paragraph(step.second_check_note, Face::regular, room, {Role::label, s.fine}), 0);
    std::vector<Piece> lines;
    for (const Column& column : columns) {
        std::vector<Piece> pairs;
        for (const Corner& corner : with_rounds(step.again)) {
            Piece pair = write_box(in, Role::initials_box, s.initials_width, s.initials_height, corner.word, {},
                                   fmt::format("{}/{}{}", name, column.index + 1, corner.name));
            put(pair,
                write_box(in, Role::entry_box, s.entry_width, s.initials_height, step.second_check_time, {},
                          fmt::format("{}-time/{}{}", name, column.index + 1, corner.name)),
                s.initials_width + pt(3), 0);
            pairs.push_back(std::move(pair));
        }
        Piece line;
        put(line, head_beside(in, column.head, head, s.initials_height), 0, 0);
        put(line, flow(std::move(pairs), room - head, half_gap, half_gap), head, 0);
        lines.push_back(std::move(line));
    }
    put_under(all, flow(std::move(lines), room, 2 * cell_gap, half_gap), pt(3));
    put_under(all, in.setter.paragraph(card::note_of(step.again), Face::regular, room, {Role::label, s.fine}), pt(1));
    Piece inside;
    put(inside, std::move(all), pad, pt(4));
    const Length height = inside.height + pad;
    Box box = boxed(Role::sign_off, std::move(inside), {}, width, height);
    box.paint = framed(pt(0.8), pt(1.5));
    return piece_of(std::move(box));
}

// The places of the ring in the order of tightening, where that is given for all of them.
std::vector<int> order_of(const card::Torque& torque) {
    const std::vector<std::string> turns = words_of(torque.order);
    if (turns.size() != torque.fasteners) return {};
    std::vector<int> order(turns.size());
    for (std::size_t place = 0; place < turns.size(); ++place)
        order.at(std::stoul(turns[place]) - 1) = static_cast<int>(place) + 1;
    return order;
}

Piece ring_of(Making& in, const card::Torque& torque) {
    return in.figures ? ring_of_fasteners(in, order_of(torque)) : Piece();
}

// A tick for each fastener of the group, in the order in which they are tightened and numbered so where there is one; a line of them for each
// column, and there for each round.
Piece fastener_ticks(Making& in, const card::Torque& torque, const std::vector<Column>& columns, Length width,
                     const std::string& name, std::uint32_t rounds = 1) {
    const Style& s = in.style;
    const std::vector<int> order = order_of(torque);
    const Length head = head_width(in, columns);
    // "1/2" says which of two rounds it is.
    const auto round_mark = [&](std::uint32_t of) { return fmt::format("{}/{}", of + 1, rounds); };
    const Length mark = rounds > 1 ? in.setter.width(round_mark(rounds - 1), Face::regular, s.small) + half_gap : 0;
    std::vector<Piece> lines; // one a column, side by side where they fit
    for (std::size_t at = 0; at < columns.size() * rounds; ++at) {
        const Column& column = columns[at / rounds];
        const std::string round = at % rounds == 0 ? name : fmt::format("{}/round-{}", name, at % rounds + 1);
        std::vector<Piece> ticks;
        for (std::uint32_t i = 0; i < torque.fasteners; ++i) {
            Piece one = tick(s.small_tick, fmt::format("{}/{}/{}", round, column.index + 1, i + 1));
            if (!order.empty()) {
                Piece numbered;
                put(numbered,
                    in.setter.paragraph(std::to_string(i + 1), Face::bold, width, {Role::tightening_order, s.figure}),
                    0, 0);
                const Length gap = numbered.width + pt(2);
                put(numbered, std::move(one), gap, (line_height(s.figure) - s.small_tick) / 2);
                one = std::move(numbered);
            }
            ticks.push_back(std::move(one));
        }
        Piece line;
        const Length tall = order.empty() ? s.small_tick : line_height(s.figure);
        put(line, head_beside(in, column.head, head, tall), 0, 0);
        if (mark > 0)
            put(line,
                in.setter.paragraph(round_mark(static_cast<std::uint32_t>(at) % rounds), Face::regular, mark,
                                    {Role::label, s.small}),
                head, std::max<Length>(0, (tall - line_height(s.small)) / 2));
        // A head beside a number would be read with it.
        const Length before = head + mark;
        const Length x = order.empty() || before == 0 ? before : before + (mark > 0 ? pt(6) : pt(12));
        put(line, in_even_lines(std::move(ticks), width - x, order.empty() ? pt(5) : pt(7), half_gap), x, 0);
        lines.push_back(std::move(line));
    }
    return flow(std::move(lines), width, pt(18), half_gap);
}

std::string joined(std::initializer_list<std::string_view> parts, std::string_view between) {
    std::string text;
    for (const std::string_view part : parts) {
        if (part.empty()) continue;
        if (!text.empty()) text += between;
        text += part;
    }
    return text;
}

Piece one_torque(Making& in, const card::Torque& torque, const std::vector<Column>& columns, const card::Again& again,
                 Length width, const std::string& name) {
    const Style& s = in.style;
    Piece all;
    if (torque.named) put_under(all, in.setter.paragraph(torque.name, Face::bold, width, {Role::label, s.step}), 0);
    if (!torque.left_hand.empty()) {
        Piece word = in.setter.paragraph(torque.left_hand, Face::bold, width - pt(10), {Role::label, s.figure});
        Piece inside;
        put(inside, std::move(word), pt(7), pt(4));
        const Length wide = inside.width + pt(7), tall = inside.height + pt(4);
        Box block = boxed(Role::label, std::move(inside), {}, wide, tall);
        block.paint = framed(pt(2.2));
        put_under(all, piece_of(std::move(block)), pt(3));
    }
    const auto tool = [&] {
        return in.setter.paragraph(joined({torque.socket, torque.wrench}, " · "), Face::bold, width,
                                   {Role::label, s.step});
    };
    // Without its drawing a ring is told in a line.
    const std::string told = !in.figures && torque.fasteners > 1 && !torque.order.empty()
                                 ? in.card.words.order + " " + torque.order
                                 : std::string();
    if (!torque.stages.empty()) {
        // Every stage is a figure of its own, in its order, with its own ticks: the last alone would be taken for the whole.
        put_under(all, ring_of(in, torque), 0);
        put_under(all, in.setter.paragraph(told, Face::bold, width, {Role::tightening_order, s.figure}), 0);
        for (std::size_t i = 0; i < torque.stages.size(); ++i) {
            Piece line;
            const std::string number = std::to_string(i + 1);
            put(line, in.setter.paragraph(number, Face::regular, width, {Role::label, s.figure}), 0,
                ascent(s.keep) - ascent(s.figure));
            const Length x = in.setter.width("0", Face::regular, s.figure) + pt(7);
            const bool fits = in.setter.width(torque.stages[i], Face::bold, s.keep) <= width - x;
            Piece figure = in.setter.paragraph(torque.stages[i], Face::bold, width - x,
                                               {Role::torque_figure, fits ? s.keep : s.figure});
            Length right = x + figure.width;
            put(line, std::move(figure), x, 0);
            if (torque.fasteners <= 1 && columns.size() <= 4) {
                // one tick a column, at the right
                std::vector<Piece> ticks;
                const Length head = head_width(in, columns);
                for (const Column& column : columns) {
                    Piece one;
                    put(one, head_beside(in, column.head, head, s.small_tick), 0, 0);
                    put(one, tick(s.small_tick, fmt::format("{}/stage-{}/{}", name, i + 1, column.index + 1)), head, 0);
                    ticks.push_back(std::move(one));
                }
                Piece group = flow(std::move(ticks), width, pt(6), half_gap);
                if (right + cell_gap + group.width <= width) {
                    const Length tx = width - group.width;
                    put(line, std::move(group), tx, ascent(s.keep) - cap_height(s.keep) / 2 - s.small_tick / 2);
                } else {
                    put_under(line, std::move(group), pt(2), x);
                }
            }
            if (i < torque.stage_wrenches.size())
                put_under(line,
                          in.setter.paragraph(torque.stage_wrenches[i], Face::bold, width - x, {Role::label, s.step}),
                          0, x);
            put_under(all, std::move(line), i == 0 ? 0 : pt(3));
            if (torque.fasteners > 1)
                put_under(all, fastener_ticks(in, torque, columns, width - x, fmt::format("{}/stage-{}", name, i + 1)),
                          pt(2), x);
        }
    } else {
        Piece line;
        Piece figure = in.setter.paragraph(torque.value, Face::bold, width, {Role::torque_figure, s.torque});
        const Length base = ascent(s.torque);
        Length x = figure.width;
        put(line, std::move(figure), 0, 0);
        line.height = base + pt(5); // figures have nothing under the line
        Piece unit = in.setter.paragraph(torque.unit, Face::bold, width, {Role::torque_figure, s.head});
        x += pt(4);
        const Length unit_width = unit.width;
        put(line, std::move(unit), x, base - ascent(s.head));
        x += unit_width + pt(5);
        Piece tolerance = in.setter.paragraph(torque.tolerance, Face::bold, width, {Role::torque_figure, s.figure});
        const Length tolerance_width = tolerance.width;
        if (x + tolerance_width <= width) {
            put(line, std::move(tolerance), x, base - ascent(s.figure));
            x += tolerance_width;
        } else {
            put_under(line, std::move(tolerance), 0);
        }
        const Length second = in.setter.width(torque.second, Face::bold, s.figure);
        if (x + cell_gap + second <= width && line.height <= line_height(s.torque))
            put(line, in.setter.paragraph(torque.second, Face::bold, width, {Role::second_figure, s.figure}),
                width - second, base - ascent(s.figure));
        else
            put_under(line, in.setter.paragraph(torque.second, Face::bold, width, {Role::second_figure, s.figure}), 0);
        line.height = std::max<Length>(line.height, line_height(s.torque));
        put_under(all, std::move(line), 0);
        Piece with = tool();
        Piece rounds = in.setter.paragraph(torque.rounds_text, Face::bold, width, {Role::tightening_order, s.figure});
        const Length rounds_x = with.width + cell_gap;
        if (!in.figures && rounds_x + rounds.width <= width)
            put(with, std::move(rounds), rounds_x, ascent(s.step) - ascent(s.figure));
        else
            put_under(with, std::move(rounds), 0);
        put_under(all, std::move(with), 0);
        if (torque.fasteners > 1) {
            Piece ring = ring_of(in, torque);
            const auto ticks_beside = [&](Length left_of) {
                return fastener_ticks(in, torque, columns, width - left_of, name + "/fastener", torque.rounds);
            };
            Length ticks_x = ring.empty() || width - ring.width < mm(45) ? 0 : ring.width + pt(14);
            Piece ticks = ticks_beside(ticks_x);
            // Beside the ring, unless they would break into more lines there than fit next to it.
            if (ticks_x > 0 && ticks.height > ring.height) {
                Piece below = ticks_beside(0);
                if (ring.height + half_gap + below.height < ticks.height) {
                    ticks = std::move(below);
                    ticks_x = 0;
                }
            }
            if (ticks_x == 0) {
                put_under(all, std::move(ring), half_gap);
                put_under(all, std::move(ticks), half_gap);
            } else { // side by side, in the middle of each other
                Piece both;
                const Length tall = std::max(ring.height, ticks.height);
                const Length ring_y = (tall - ring.height) / 2, ticks_y = (tall - ticks.height) / 2;
                put(both, std::move(ring), 0, ring_y);
                put(both, std::move(ticks), ticks_x, ticks_y);
                put_under(all, std::move(both), half_gap);
            }
        }
    }
    if (!torque.stages.empty()) put_under(all, tool(), pt(1));
    put_under(all, in.setter.paragraph(torque.source, Face::regular, width, {Role::label, s.small}), 0);
    if (torque.fasteners <= 1 && !torque.order.empty())
        put_under(all, in.setter.paragraph(torque.order, Face::bold, width, {Role::tightening_order, s.figure}), 0);
    if (torque.value_box)
        put_under(
            all,
            boxes_of_columns(in, Role::reading_box, columns, with_rounds(again), torque.unit, width, name + "/value"),
            half_gap);
    if (torque.initials)
        put_under(all, initials(in, in.card.words.initials, {}, columns, again, width, name + "/initials"),
                  half_gap + pt(1));
    return all;
}

// Two things of which the same is read and by the same figures.
bool alike(const card::Reading& a, const card::Reading& b) {
    const auto of = [](const card::Reading& r) {
        return std::tie(r.name, r.limit, r.new_size, r.last, r.expected, r.keep, r.unit, r.points, r.worst, r.note,
                        r.marks);
    };
    return !a.column_note.empty() && !b.column_note.empty() && of(a) == of(b) && a.bar.has_value() == b.bar.has_value();
}

// What is read and by which figures it is judged; `shared` by things that stand over their own boxes.
Piece heading(Making& in, const card::Reading& reading, bool shared, Length width) {
    const Style& s = in.style;
    Piece all;
    const std::string title = shared ? reading.name : joined({reading.name, reading.column_note}, " · ");
    // Beside the name as much of the history as fits its line; the rest under the figures.
    std::string beside = joined({reading.new_size, reading.last, reading.expected}, " · ");
    std::string under;
    const Length free = width - in.setter.width(title, Face::bold, s.small) - cell_gap;
    if (in.setter.width(beside, Face::regular, s.small) > free) {
        beside = reading.new_size;
        under = joined({reading.last, reading.expected}, " · ");
        if (in.setter.width(beside, Face::regular, s.small) > free) {
            under = joined({beside, under}, " · ");
            beside.clear();
        }
    }
    Piece names = in.setter.paragraph(title, Face::bold, width, {Role::label, s.small});
    Piece new_size = in.setter.paragraph(beside, Face::regular, width, {Role::label, s.small});
    const Length new_x = width - new_size.width;
    put(names, std::move(new_size), new_x, 0);
    put_under(all, std::move(names), 0);
    if (!reading.keep.empty()) {
        Piece line;
        Piece keep = in.setter.paragraph(reading.keep, Face::bold, width, {Role::limit_figure, s.keep});
        const Length keep_width = keep.width;
        put(line, std::move(keep), 0, 0);
        const Length limit = in.setter.width(reading.limit, Face::bold, s.figure);
        if (keep_width + cell_gap + limit <= width)
            put(line, in.setter.paragraph(reading.limit, Face::bold, width, {Role::limit_figure, s.figure}),
                width - limit, ascent(s.keep) - ascent(s.figure));
        else
            put_under(line, in.setter.paragraph(reading.limit, Face::bold, width, {Role::limit_figure, s.figure}), 0);
        put_under(all, std::move(line), 0);
    } else {
        put_under(all, in.setter.paragraph(reading.limit, Face::bold, width, {Role::limit_figure, s.keep}), 0);
    }
    put_under(all, in.setter.paragraph(under, Face::regular, width, {Role::label, s.small}), 0);
    if (reading.bar && in.figures) put_under(all, wear_bar(in, *reading.bar, std::min(width, pt(235))), pt(3));
    return all;
}

// The boxes of one thing that is read, with its name over them where it stands with others.
Piece reading_boxes(Making& in, const card::Reading& reading, bool shared, const std::vector<Column>& of_row,
                    const card::Again& again, Length width, const std::string& name) {
    const Style& s = in.style;
    std::vector<Column> columns = of_row;
    if (!reading.marks.empty())
        std::erase_if(columns, [&](const Column& column) { return !reading.marks[column.index]; });
    Piece all;
    if (shared) put_under(all, in.setter.paragraph(reading.column_note, Face::bold, width, {Role::label, s.small}), 0);
    const Length gap = shared ? pt(1) : 0;
    const auto boxes = [&](const Corners& corners) {
        return boxes_of_columns(in, Role::reading_box, columns, corners, reading.unit, width, name);
    };
    const auto again_note = [&] {
        put_under(all, in.setter.paragraph(card::note_of(again), Face::regular, width, {Role::label, s.small}), pt(2));
    };
    if (reading.points > 1) {
        put_under(all, boxes(points_of(reading.points)), gap);
        if (!reading.worst.empty()) {
            put_under(all, in.setter.paragraph(reading.worst, Face::bold, width, {Role::label, s.small}), half_gap);
            put_under(all, boxes({{"", "/worst"}}), 0);
        }
        if (again.boxes == 0) return all;
        again_note();
        put_under(all, boxes(rounds_of(again)), half_gap);
        return all;
    }
    put_under(all, boxes(with_rounds(again)), gap);
    if (again.boxes > 0) again_note();
    return all;
}

// A box for each column, two in a line where there are many.
Piece note(Making& in, const card::Note& what, const std::vector<Column>& columns, Length width,
           const std::string& row) {
    const Style& s = in.style;
    const bool pairs = columns.size() > 2 && (width - cell_gap) / 2 >= s.least_note;
    const Length wide = pairs ? (width - cell_gap) / 2 : width;
    Piece all;
    Piece line;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const std::string text = joined({columns[i].head, what.text}, " · ");
        Piece inside;
        put(inside, in.setter.paragraph(text, Face::regular, wide - pt(8), {Role::label, s.fine}), pt(4), pt(1.5));
        const Length tall = std::max(s.signature_height, inside.height + mm(8));
        Box box =
            boxed(Role::entry_box, std::move(inside), fmt::format("{}/note/{}", row, columns[i].index + 1), wide, tall);
        box.paint = framed(box_line, pt(1.5));
        put(line, piece_of(std::move(box)), pairs && i % 2 == 1 ? wide + cell_gap : 0, 0);
        if (pairs && i % 2 == 0 && i + 1 < columns.size()) continue;
        put_under(all, std::exchange(line, Piece()), half_gap);
    }
    return all;
}

// A box for each grade, its word under it, a group of them for each column.
// Of one thing, or of that of several.
Piece grades_of(Making& in, const card::Grades& of, const std::vector<Column>& columns, Length width,
                const std::string& row) {
    const Style& s = in.style;
    const Length head = head_width(in, columns);
    std::vector<Piece> groups;
    for (const Column& column : columns) {
        Piece group;
        put(group, head_beside(in, column.head, head, s.small_tick), 0, 0);
        Length x = head;
        for (std::size_t i = 0; i < of.words.size(); ++i) {
            Piece word = in.setter.paragraph(of.words[i], Face::regular, width, {Role::label, s.fine});
            const Length wide = std::max(word.width, s.small_tick);
            const Length word_x = x + (wide - word.width) / 2;
            put(group, tick(s.small_tick, fmt::format("{}/grade-{}/{}", row, i + 1, column.index + 1)),
                x + (wide - s.small_tick) / 2, 0);
            put(group, std::move(word), word_x, s.small_tick + pt(1));
            x += wide + pt(5);
        }
        groups.push_back(std::move(group));
    }
    return flow(std::move(groups), width, pt(13), pt(4));
}

Piece grades(Making& in, const card::Grades& of, const std::vector<Column>& columns, Length width,
             const std::string& row) {
    if (of.of.empty()) return grades_of(in, of, columns, width, row);
    Piece all;
    for (std::size_t i = 0; i < of.of.size(); ++i) {
        put_under(all, in.setter.paragraph(of.of[i], Face::bold, width, {Role::label, in.style.small}), pt(5));
        put_under(all, grades_of(in, of, columns, width, fmt::format("{}/graded-{}", row, i + 1)), pt(2));
    }
    return all;
}

} // namespace

Piece flow(std::vector<Piece> parts, Length width, Length gap, Length line_gap) {
    Piece all;
    Length x = 0;
    Length y = 0;
    Length tall = 0;
    for (Piece& part : parts) {
        if (x > 0 && x + part.width > width) {
            x = 0;
            y += tall + line_gap;
            tall = 0;
        }
        const Length wide = part.width;
        tall = std::max(tall, part.height);
        put(all, std::move(part), x, y);
        x += wide + gap;
    }
    return all;
}

Piece tick(Length side, std::string name) {
    return piece_of(drawn(Role::tick, {0, 0, side, side}, framed(box_line, pt(1.5)), std::move(name)));
}

bool wants_width(const card::Step& step, const std::vector<Column>& columns) {
    if (const auto* readings = std::get_if<std::vector<card::Reading>>(&step.panel)) {
        for (const card::Reading& reading : *readings)
            if (reading.points > 2 || step.again.boxes > 1 || columns.size() > 2) return true;
    }
    if (std::holds_alternative<card::Note>(step.panel)) return columns.size() > 1;
    if (const auto* torques = std::get_if<std::vector<card::Torque>>(&step.panel)) {
        for (const card::Torque& torque : *torques) {
            const std::size_t ticks = torque.fasteners <= 1 ? 0
                                                            : torque.fasteners * columns.size() *
                                                                  std::max<std::size_t>(1, torque.stages.size());
            if (ticks > 30) return true;
        }
    }
    return false;
}

Piece panel(Making& in, const card::Step& step, const std::vector<Column>& columns, Length width,
            const std::string& row) {
    const Style& s = in.style;
    const Length lead = s.panel_bar + s.panel_pad;
    const Length room = width - lead;
    Piece all;
    const Length apart = pt(9);
    if (const auto* torques = std::get_if<std::vector<card::Torque>>(&step.panel)) {
        for (std::size_t i = 0; i < torques->size(); ++i)
            put_under(all,
                      one_torque(in, (*torques)[i], columns, step.again, room, fmt::format("{}/torque-{}", row, i + 1)),
                      apart);
    } else if (const auto* readings = std::get_if<std::vector<card::Reading>>(&step.panel)) {
        const auto name = [&](std::size_t i) { return fmt::format("{}/reading-{}", row, i + 1); };
        for (std::size_t i = 0; i < readings->size();) {
            // Things that are read alike stand under one head.
            std::size_t end = i + 1;
            while (end < readings->size() && alike((*readings)[i], (*readings)[end])) ++end;
            const bool shared = end - i > 1;
            Piece part = heading(in, (*readings)[i], shared, room);
            for (; i < end; ++i)
                put_under(part, reading_boxes(in, (*readings)[i], shared, columns, step.again, room, name(i)),
                          shared ? pt(2) : half_gap);
            put_under(part, in.setter.paragraph((*readings)[end - 1].note, Face::bold, room, {Role::label, s.small}),
                      pt(2));
            put_under(all, std::move(part), apart);
        }
    } else if (const auto* what = std::get_if<card::Note>(&step.panel)) {
        put_under(all, note(in, *what, columns, room, row), 0);
    } else if (const auto* looked = std::get_if<card::Grades>(&step.panel)) {
        put_under(all, grades(in, *looked, columns, room, row), 0);
    }
    if (step.second_check && !step.second_check_time.empty())
        put_under(all, second_look(in, step, columns, room, row + "/second-check"), half_gap);
    else if (step.second_check)
        put_under(all,
                  initials(in, in.card.words.second_check, step.second_check_note, columns, step.again, room,
                           row + "/second-check"),
                  half_gap);
    if (all.empty()) return all;

    Piece inside;
    const Length height = all.height;
    put(inside, piece_of(drawn(Role::bar, {0, 0, s.panel_bar, height}, filled(0))), 0, 0);
    put(inside, std::move(all), lead, 0);
    return piece_of(boxed(Role::panel, std::move(inside), row + "/panel", width));
}

} // namespace benchleaf::pages
