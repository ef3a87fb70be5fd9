// The measures of a card on one paper: one family of type in few sizes, one grid. Every figure of the look stands in
// style.cpp and nowhere else.
#pragma once

#include "card/card.h"
#include "pages/pages.h"

namespace benchleaf::pages {

// The line of a box to write or tick in, in black: a thinner one breaks on a bad copy.
inline constexpr Length box_line = pt(1.5);

struct Style {
    Paper paper = Paper::a4;
    Rect sheet; // what lies inside the margins

    // Sizes of type, from the smallest: foot and units in boxes, notes and lists, steps, heads and numbers, the limit and
    // the keep figure, the title, the torque.
    Length fine = 0, small = 0, step = 0, head = 0, figure = 0, keep = 0, title = 0, torque = 0;

    Length tick = 0;          // side of a tick box
    Length answer_tick = 0;   // of a yes or a no
    Length small_tick = 0;    // of one fastener of a group, of a finding
    Length tick_pitch = 0;    // from one column of ticks to the next
    Length tick_area = 0;     // the widest that the columns of ticks may be side by side
    Length reading_width = 0; // the least of a box for a reading
    Length reading_height = 0;
    Length initials_width = 0;
    Length least_initials = 0; // where a row is too tall for its page
    Length initials_height = 0;
    Length signature_width = 0; // the least
    Length signature_height = 0;
    Length entry_width = 0; // of a date, a time, a wrench's name: the least
    Length write_pitch = 0; // between lines to write on

    Length picture = 0;       // the tallest
    Length least_picture = 0; // to which one is made smaller so that its row fits a page

    Length note = 0;       // width of a box for something written, beside its text
    Length least_note = 0; // of one of two side by side
    Length panel = 0;      // width of the panel at the right of a row
    Length panel_bar = 0;  // its heavy bar
    Length panel_pad = 0;
    Length least_text = 0; // a text narrower than this puts the panel under it
    Length gutter = 0;     // between neighbours in a row
    Length set_in = 0;     // of optional ways, a level
    Length aside_bar = 0;
    Length module = 0; // of the code square, the largest

    // The grid of the rows: where each column starts. Filled for a card by `grid_for`.
    Length number_x = 0;
    Length ticks_x = 0;

    Length right() const { return sheet.right(); }
};

Style style_for(Paper paper);

// Where the columns of the grid start: the numbers' is wide enough for the highest number at the greatest depth.
void fit_grid(Style& style, const card::Card& card);

// How the ticks of a section stand: side by side under the column heads, or stacked, each with its own head beside it,
// where there are too many for that.
struct TickColumns {
    bool stacked = false;
    std::size_t per_line = 1;
    Length pitch = 0;
    Length label = 0;  // width kept for the head beside a stacked tick
    Length width = 0;  // of them all
    Length across = 0; // of the box of what is worked once
};
// How many columns with a head stand before it.
std::size_t place_of_column(const std::vector<std::string>& columns, std::size_t column);
TickColumns tick_columns(const Style& style, const std::vector<std::string>& columns);

// Where the text of a section's rows starts: at one place for all sections of one or two columns, further right for more.
Length text_x_of(const Style& style, const card::Section& section);

} // namespace benchleaf::pages
