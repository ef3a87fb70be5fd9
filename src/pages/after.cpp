// After the work: findings, the strip for work that stops half-way, and the close-out with its signatures.
#include "pages/parts.h"

#include <fmt/format.h>

#include <algorithm>

namespace benchleaf::pages {

namespace {

using fonts::Face;

Block block_of(Making& in, Piece piece, Role group, Length above, bool with_next = false) {
    Block block;
    put(block.piece, std::move(piece), in.style.sheet.x, 0);
    block.group = group;
    block.above = above;
    block.with_next = with_next;
    block.place = in.setter.place();
    return block;
}

Piece write_line(Length width, std::string name = {}) {
    return piece_of(drawn(Role::write_line, {0, 0, width, pt(0.8)}, filled(0), std::move(name)));
}

// A label and lines to write on, the first beside it.
Piece to_write(Making& in, std::string_view label, int lines, const std::string& name) {
    const Style& s = in.style;
    Piece all;
    const Length pitch = s.write_pitch;
    Piece word = in.setter.paragraph(label, Face::bold, s.sheet.width / 2, {Role::label, s.step});
    const Length beside = word.width + pt(8);
    const Length base = pitch - ascent(s.step) - pt(1);
    put(all, std::move(word), 0, std::max<Length>(0, base));
    for (int i = 0; i < lines; ++i) {
        const Length x = i == 0 ? beside : 0;
        put(all, write_line(s.sheet.width - x, fmt::format("{}/{}", name, i + 1)), x, pitch * (i + 1));
    }
    return all;
}

// "applied __:__ + 20 min": each run of underlines becomes a line long enough to write on.
std::vector<Piece> with_blanks(Making& in, std::string_view text, Length width, const std::string& name) {
    const Style& s = in.style;
    std::vector<Piece> parts;
    int blanks = 0;
    for (std::size_t at = 0; at < text.size();) {
        const bool blank = text[at] == '_';
        std::size_t end = at;
        while (end < text.size() && (text[end] == '_') == blank) ++end;
        Piece part;
        const Length tall = mm(7.5);
        if (blank) {
            put(part, write_line(pt(28), fmt::format("{}/{}", name, ++blanks)), 0, tall - pt(2));
        } else {
            // spaces at the ends stand between the parts
            const std::string_view words = text.substr(at, end - at);
            put(part, in.setter.paragraph(words, Face::bold, width, {Role::text, s.step}), 0,
                tall - line_height(s.step));
        }
        part.height = tall;
        parts.push_back(std::move(part));
        at = end;
    }
    return parts;
}

Piece close_out_line(Making& in, const card::CloseOutLine& line, std::size_t number, Length width) {
    const Style& s = in.style;
    Piece all = tick(s.tick, fmt::format("close-out/{}", number + 1));
    const Length x = s.tick + pt(7);
    Piece words;
    put_under(words, in.setter.paragraph(line.text, Face::regular, width - x, {Role::text, s.step}), 0);
    if (!line.field.empty())
        put_under(words,
                  flow(with_blanks(in, line.field, width - x, fmt::format("close-out/{}", number + 1)), width - x,
                       pt(4), pt(2)),
                  0);
    put(all, std::move(words), x, std::max<Length>(0, s.tick / 2 + cap_height(s.step) / 2 - ascent(s.step)));
    return all;
}

Piece sign_off(Making& in, Length width) {
    const Style& s = in.style;
    const std::vector<std::string>& labels = in.card.close_out.signatures;
    Piece all;
    if (labels.empty()) return all;
    // Names first, wider than a wrench, a gauge or a time; what is left of a line goes to all in it.
    const Length gap = pt(3);
    const auto least = [&](std::size_t i) {
        Length word = 0; // a label may take two lines
        for (const std::string& each : words_of(labels[i]))
            word = std::max(word, in.setter.width(each, Face::regular, s.fine) + pt(6));
        return std::max(word, i < in.card.close_out.signers ? s.signature_width : s.entry_width);
    };
    Length y = 0;
    for (std::size_t i = 0; i < labels.size();) {
        std::size_t end = i;
        Length sum = 0;
        while (end < labels.size() && (end == i || sum + gap + least(end) <= width)) {
            sum += (end == i ? 0 : gap) + least(end);
            ++end;
        }
        const Length more = std::max<Length>(0, width - sum) / static_cast<Length>(end - i);
        Length x = 0;
        for (; i < end; ++i) {
            const Length wide = std::min(width, least(i) + more);
            Piece inside;
            put(inside, in.setter.paragraph(labels[i], Face::regular, wide - pt(6), {Role::label, s.fine}), pt(3),
                pt(0.8));
            const Role role = i < in.card.close_out.signers ? Role::signature_box : Role::entry_box;
            Box box = boxed(role, std::move(inside), fmt::format("sign-off/{}", i + 1), wide, s.signature_height);
            box.paint = framed(box_line, pt(1.5));
            put(all, piece_of(std::move(box)), x, y);
            x += wide + gap;
        }
        y += s.signature_height + pt(5);
    }
    return piece_of(boxed(Role::sign_off, std::move(all), {}, width));
}

} // namespace

void add_findings(Making& in, std::vector<Block>& to, int write_lines) {
    const Style& s = in.style;
    const card::Findings& f = in.card.findings;
    in.setter.at("the findings");
    if (f.title.empty() && f.also_found.empty() && f.declined.empty()) return;
    Piece head = in.setter.paragraph(f.title, Face::bold, s.sheet.width, {Role::list_head, s.head});
    put(head, drawn(Role::rule, {0, head.height + pt(2), s.sheet.width, pt(1.5)}, filled(0)));
    to.push_back(block_of(in, std::move(head), Role::findings, pt(16), true));
    // What the mechanic writes and what comes of it stay together.
    const std::size_t from = to.size();
    if (!f.also_found.empty())
        to.push_back(
            block_of(in, piece_of(boxed(Role::list_item, to_write(in, f.also_found, write_lines, "findings/also"))),
                     Role::findings, pt(4)));
    if (!f.declined.empty())
        to.push_back(block_of(in, piece_of(boxed(Role::list_item, to_write(in, f.declined, 1, "findings/declined"))),
                              Role::findings, pt(2)));
    if (!f.next_service.empty())
        to.push_back(block_of(in, in.setter.paragraph(f.next_service, Face::bold, s.sheet.width, {Role::text, s.step}),
                              Role::findings, pt(8)));
    for (std::size_t i = from; i + 1 < to.size(); ++i) to[i].with_next = true;
}

void add_stop_strip(Making& in, std::vector<Block>& to) {
    const Style& s = in.style;
    const card::StopStrip& strip = in.card.stop_strip;
    in.setter.at("“work stopped here”");
    if (strip.title.empty() && strip.fields.empty()) return;
    const Length pad = pt(8);
    const Length width = s.sheet.width - 2 * pad;
    Piece all;
    Piece first;
    Piece warning = in.setter.paragraph(strip.warning, Face::bold, width, {Role::text, s.figure});
    Length block_width = 0;
    if (!warning.empty()) {
        Piece inside;
        put(inside, std::move(warning), pt(8), pt(4));
        const Length wide = inside.width + pt(8), height = inside.height + pt(4);
        Box box = boxed(Role::label, std::move(inside), {}, wide, height);
        box.paint = framed(pt(2.2));
        block_width = box.at.width;
        if (block_width <= width / 2)
            put(first, piece_of(std::move(box)), width - block_width, 0);
        else
            put(first, piece_of(std::move(box)), 0, line_height(s.head) + pt(2));
    }
    put(first,
        in.setter.paragraph(strip.title, Face::bold, block_width <= width / 2 ? width - block_width - pt(8) : width,
                            {Role::list_head, s.head}),
        0, 0);
    put_under(all, std::move(first), 0);
    put_under(all, in.setter.paragraph(strip.what_to_do, Face::regular, width, {Role::text, s.small}), pt(1));
    // A label and its line; the last takes the rest of its row.
    Piece fields;
    const Length blank = mm(22);
    const Length tall = s.write_pitch;
    Length x = 0;
    Length y = 0;
    for (std::size_t i = 0; i < strip.fields.size(); ++i) {
        Piece word = in.setter.paragraph(strip.fields[i], Face::regular, width / 2, {Role::label, s.step});
        const Length after = word.width + pt(5);
        const bool last = i + 1 == strip.fields.size();
        const Length least = after + (last ? mm(35) : blank);
        if (x > 0 && x + least > width) {
            x = 0;
            y += tall;
        }
        put(fields, std::move(word), x, y + tall - ascent(s.step) - pt(1.5));
        const Length line = last ? width - x - after : blank;
        put(fields, write_line(line, fmt::format("stopped/{}", i + 1)), x + after, y + tall);
        x += after + line + pt(12);
    }
    put_under(all, std::move(fields), pt(2));
    Piece inside;
    put(inside, std::move(all), pad, pt(6));
    const Length height = inside.height + pt(8);
    Box box = boxed(Role::work_stopped, std::move(inside), {}, s.sheet.width, height);
    box.paint = framed(pt(0.8));
    to.push_back(block_of(in, piece_of(std::move(box)), Role::body, pt(14)));
}

void add_close_out(Making& in, std::vector<Block>& to, Length page) {
    const Style& s = in.style;
    const card::CloseOut& c = in.card.close_out;
    in.setter.at("the close-out");
    if (c.title.empty() && c.lines.empty() && c.signatures.empty()) return;
    const Length pad = pt(10);
    const Length width = s.sheet.width - 2 * pad;
    const std::size_t columns = s.paper == Paper::a5 ? 1 : 2;
    const Length gutter = pt(16);
    const Length wide = (width + gutter) / static_cast<Length>(columns) - gutter;

    Piece later;
    for (const std::string& text : c.later)
        put_under(later, in.setter.paragraph(text, Face::bold, width, {Role::text, s.step}), pt(1));
    std::vector<Piece> lines;
    for (std::size_t i = 0; i < c.lines.size(); ++i) lines.push_back(close_out_line(in, c.lines[i], i, wide));
    // Lines that stand beside each other start at one height.
    std::vector<Piece> grid;
    for (std::size_t i = 0; i < lines.size(); i += columns) {
        Piece line;
        for (std::size_t k = i; k < std::min(i + columns, lines.size()); ++k)
            put(line, std::move(lines[k]), static_cast<Length>(k - i) * (wide + gutter), 0);
        grid.push_back(std::move(line));
    }
    Piece title = in.setter.paragraph(c.title, Face::bold, width, {Role::list_head, s.head});
    Piece signatures = in.setter.paragraph(c.wrenches, Face::regular, width, {Role::label, s.small});
    put_under(signatures, sign_off(in, width), signatures.empty() ? 0 : pt(2));
    put_under(signatures, in.setter.paragraph(c.check_rule, Face::regular, width, {Role::label, s.small}), 0);

    Length sum = title.height + later.height + signatures.height + 2 * pad + pt(30);
    for (const Piece& line : grid) sum += line.height + pt(6);
    const auto frame = [&](Piece all) {
        Piece inside;
        put(inside, std::move(all), pad, pt(8));
        const Length height = inside.height + pad;
        Box box = boxed(Role::close_out, std::move(inside), {}, s.sheet.width, height);
        box.paint = framed(pt(2));
        return piece_of(std::move(box));
    };
    Piece all;
    if (sum <= page) {
        put_under(all, std::move(title), 0);
        for (Piece& line : grid) put_under(all, std::move(line), pt(6));
        put_under(all, std::move(later), pt(8));
        put_under(all, std::move(signatures), pt(9));
        to.push_back(block_of(in, frame(std::move(all)), Role::body, pt(14)));
        return;
    }
    // More lines than a page has: they go before, in the open; the last of them stays with the signatures.
    Piece again;
    put(again,
        in.setter.paragraph({{c.title, Face::bold}, {fmt::format(" ({})", in.card.words.continued), Face::regular}},
                            s.sheet.width, {Role::list_head, s.head}),
        s.sheet.x, 0);
    const auto head = std::make_shared<const Piece>(std::move(again));
    to.push_back(block_of(in, std::move(title), Role::close_out, pt(14), true));
    for (std::size_t i = 0; i < grid.size(); ++i) {
        to.push_back(block_of(in, piece_of(boxed(Role::list_item, std::move(grid[i]))), Role::close_out, pt(6),
                              i + 1 == grid.size()));
        if (i != 0) to.back().again = head;
    }
    put_under(all, std::move(later), 0);
    put_under(all, std::move(signatures), pt(9));
    to.push_back(block_of(in, frame(std::move(all)), Role::body, pt(10)));
}

} // namespace benchleaf::pages
