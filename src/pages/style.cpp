#include "pages/style.h"

#include <algorithm>

namespace benchleaf::pages {

namespace {

Length width_of(std::string_view text, Length size) {
    return static_cast<Length>((fonts::width(fonts::Face::bold, text) * size + fonts::units_per_em - 1) /
                               fonts::units_per_em);
}

} // namespace

Style style_for(Paper paper) {
    const Size whole = size_of(paper);
    Style s;
    s.paper = paper;
    const bool small = paper == Paper::a5;
    const Length punched = mm(18);
    const Length side = small ? mm(10) : mm(12);
    const Length top = small ? mm(10) : mm(11);
    s.sheet = {punched, top, whole.width - punched - side, whole.height - 2 * top};

    s.fine = pt(9);
    s.small = small ? pt(9.5) : pt(10);
    s.step = small ? pt(10.5) : pt(11.5);
    s.head = small ? pt(13) : pt(14.5);
    s.figure = small ? pt(12) : pt(12.5);
    s.keep = small ? pt(14.5) : pt(16);
    s.title = small ? pt(14.5) : pt(17);
    s.torque = small ? pt(23) : pt(27);

    s.tick = small ? mm(6) : mm(6.6);
    s.answer_tick = mm(7.2);
    s.small_tick = mm(5.4);
    s.tick_pitch = s.tick + (small ? pt(6) : pt(8));
    s.tick_area = small ? pt(68) : pt(110);
    s.reading_width = mm(24);
    s.reading_height = mm(9.6);
    s.initials_width = mm(17);
    s.least_initials = mm(16);
    s.initials_height = mm(9);
    s.signature_width = mm(35);
    s.signature_height = mm(12);
    s.entry_width = mm(24);
    s.write_pitch = mm(8.5);

    s.panel = small ? s.sheet.width : pt(246);
    s.picture = small ? pt(155) : pt(230);
    s.least_picture = pt(85);
    s.note = mm(66);
    s.least_note = mm(52);
    s.panel_bar = pt(3);
    s.panel_pad = pt(8);
    s.least_text = pt(130);
    s.gutter = pt(12);
    s.set_in = pt(13);
    s.aside_bar = pt(4.5);
    s.module = small ? pt(1.5) : pt(1.75);
    return s;
}

std::size_t place_of_column(const std::vector<std::string>& columns, std::size_t column) {
    std::size_t place = 0;
    for (std::size_t i = 0; i < std::min(column, columns.size()); ++i) place += columns[i].empty() ? 0 : 1;
    return place;
}

TickColumns tick_columns(const Style& style, const std::vector<std::string>& columns) {
    TickColumns t;
    // A column without a head, of what is worked once, takes no place beside those that have one: its box goes across them.
    const std::size_t headed = place_of_column(columns, columns.size());
    const std::size_t count = std::max<std::size_t>(headed == 0 ? columns.size() : headed, 1);
    Length widest = 0;
    for (const std::string& head : columns) widest = std::max(widest, width_of(head, style.figure));
    t.pitch = std::max(style.tick_pitch, widest + pt(6));
    t.per_line = count;
    // One or two always stand side by side.
    if (count > 2 && t.pitch * static_cast<Length>(count) > style.tick_area) {
        t.stacked = true;
        t.label = widest + pt(3);
        t.pitch = t.label + style.tick + pt(5);
        t.per_line = static_cast<std::size_t>(std::max<Length>(1, style.tick_area / t.pitch));
    }
    t.width = t.pitch * static_cast<Length>(t.per_line);
    t.across = count == 1 || t.stacked ? style.tick_pitch + style.tick : t.width - t.pitch + style.tick;
    return t;
}

void fit_grid(Style& style, const card::Card& card) {
    Length number = 0;
    std::uint32_t deepest = 0;
    for (const card::Section& section : card.sections) {
        for (const card::Row& row : section.rows) {
            number = std::max(number, width_of(std::to_string(row.number), style.head));
            deepest = std::max(deepest, row.depth);
        }
    }
    style.number_x = style.sheet.x;
    style.ticks_x = style.number_x + number + pt(8) + static_cast<Length>(deepest) * style.set_in;
}

Length text_x_of(const Style& style, const card::Section& section) {
    const Length two = tick_columns(style, {"", ""}).width;
    return style.ticks_x + std::max(two, tick_columns(style, section.columns).width) + pt(5);
}

} // namespace benchleaf::pages
