// The value of the layout stage: pages of boxes that hold boxes, each with its place and with what is drawn in it.
// Nothing is left to decide: whoever paints a page draws each box's paint, then its children, in order, and measures
// nothing.
//
// All lengths are whole thousandths of a point (1 pt = 1/72 in; 1 mm = 2834.6…, see `mm`). The origin is the top left
// corner of the paper, x to the right, y down; every position is on the page, none is relative to a parent. Greys run
// from 0 (black) to 255 (white).
#pragma once

#include "fonts/fonts.h"
#include "pictures/pictures.h"

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace benchleaf::pages {

using Length = std::int32_t; // 1/1000 pt

inline constexpr Length pt(double points) {
    return static_cast<Length>(points * 1000.0 + (points < 0 ? -0.5 : 0.5));
}
inline constexpr Length mm(double millimetres) {
    return pt(millimetres * 72.0 / 25.4);
} // to the nearest 1/1000 pt

struct Point {
    Length x = 0;
    Length y = 0;
    bool operator==(const Point&) const = default;
};

struct Rect {
    Length x = 0;
    Length y = 0;
    Length width = 0;
    Length height = 0;

    constexpr Length right() const { return x + width; }
    constexpr Length bottom() const { return y + height; }
    constexpr bool holds(const Rect& other) const {
        return x <= other.x && y <= other.y && other.right() <= right() && other.bottom() <= bottom();
    }
    // Whether they share an area; boxes that only touch do not meet.
    constexpr bool meets(const Rect& other) const {
        return x < other.right() && other.x < right() && y < other.bottom() && other.y < bottom();
    }
    bool operator==(const Rect&) const = default;
};

// What a box is on the card. The rules of layout are tests over roles; form fields will be made from them.
enum class Role : std::uint8_t {
    // On every page.
    head,
    body,
    foot,
    qr,
    axle_map,
    across, // under all else: NOT APPROVED
    // Groups of the body, in the card's order.
    before_start,
    list,
    list_head,
    list_item,
    section,
    section_head,
    column_head, // L and R over the columns of ticks
    step,
    question,
    answer,
    repeat,
    aside, // optional steps, set in and barred at the side
    stop,  // NOT TO BE DRIVEN
    caution,
    signal_word,
    findings,
    work_stopped,
    close_out,
    sign_off,
    slip, // the customer's
    // Parts of a row.
    number,
    text,
    why,
    label, // a small word that says what stands beside or under it
    panel, // what is read or written, on the right with a heavy bar
    torque_figure,
    limit_figure,
    second_figure, // in the second unit
    tightening_order,
    ring, // of fasteners, with the order of tightening
    wear_bar,
    plot, // of readings over the meter
    // Where somebody writes.
    tick,
    reading_box,
    initials_box,
    signature_box,
    entry_box, // a date, a time, a name
    write_line,
    // Bare drawing.
    rule,
    bar,
    mark, // a drawn sign: a tick mark, an arrow, a triangle
    picture,
};
inline constexpr int role_count = static_cast<int>(Role::picture) + 1;
std::string_view name(Role role); // "section head"

// What is drawn in a box.

// One line of text in one face, never broken. The pen starts at the left edge of the box, on the baseline. The string
// is valid UTF-8 and all of it is covered by the fonts; its width is fonts::width(face, string) * size / units_per_em.
struct Text {
    std::string utf8;
    fonts::Face face = fonts::Face::regular;
    Length size = 0;
    Length baseline = 0; // y on the page
    std::uint8_t grey = 0;
    bool operator==(const Text&) const = default;
};

// The box's area filled, its edge stroked, or both. The stroke lies wholly inside the box, so that nothing leaves it.
struct Area {
    std::optional<std::uint8_t> fill;
    Length line = 0; // width of the stroke; 0 for none
    std::uint8_t line_grey = 0;
    Length corner = 0; // radius of the outer corners
    bool operator==(const Area&) const = default;
};

// A stroke of one line or of many; `dash` is the length of a stroke and of a gap, 0 for an unbroken line. A dash no
// longer than the line is wide makes round dots.
struct Line {
    std::vector<Point> points;
    Length width = 0;
    std::uint8_t grey = 0;
    Length dash = 0;
    bool operator==(const Line&) const = default;
};

struct Polygon {
    std::vector<Point> points;
    std::uint8_t grey = 0;
    bool operator==(const Polygon&) const = default;
};

// Strokes and areas over one another, as a plot has them; the areas first.
struct Drawing {
    std::vector<Polygon> areas;
    std::vector<Line> lines;
    bool operator==(const Drawing&) const = default;
};

// The modules of a QR code (ISO/IEC 18004), row by row from the top, '1' dark. Their square fills the box; the box must
// be square, and the four modules of quiet zone around it are the layout's to leave free.
struct Qr {
    int side = 0;        // modules a side
    std::string modules; // side * side of '0' and '1'; empty: not drawn
    bool operator==(const Qr&) const = default;
};

// A picture that fills the box, and lines upon it, black with white beside them, from where a number stands to what it points at.
struct Image {
    struct Lead {
        Point from;
        Point to;
        bool operator==(const Lead&) const = default;
    };
    std::shared_ptr<const pictures::Picture> picture;
    std::string shows; // in words; may be empty
    std::vector<Lead> leads;
    bool operator==(const Image&) const = default;
};

using Paint = std::variant<std::monostate, Text, Area, Line, Polygon, Drawing, Qr, Image>;

struct Box {
    Rect at;
    Role role = Role::text;
    std::string name; // a path such as "step 7/tick left", only where tests or form fields need one
    Paint paint;
    std::vector<Box> children;
    bool operator==(const Box&) const = default;
};
inline constexpr int most_nested = 24; // boxes in boxes; a deeper tree is a mistake of the layout's

enum class Paper : std::uint8_t { a4, letter, a5 };
std::string_view name(Paper paper); // "a4"

struct Size {
    Length width;
    Length height;
    bool operator==(const Size&) const = default;
};
// ISO 216 A4 and A5, and 8.5 in by 11 in; upright.
constexpr Size size_of(Paper paper) {
    switch (paper) {
    case Paper::a4:
        return {mm(210), mm(297)};
    case Paper::letter:
        return {pt(612), pt(792)};
    case Paper::a5:
        return {mm(148), mm(210)};
    }
    return {};
}

struct Page {
    std::vector<Box> boxes;
    bool operator==(const Page&) const = default;
};

struct Pages {
    Paper paper = Paper::a4;
    std::vector<Page> pages;
    bool operator==(const Pages&) const = default;
};

// The small drawn signs, each fitted into a rectangle: their points, to be put into a Polygon or a Line.
std::vector<Point> tick_mark(const Rect& in);     // an open stroke
std::vector<Point> arrow_right(const Rect& in);   // a filled arrow, shaft and head
std::vector<Point> arrow_down(const Rect& in);    // likewise
std::vector<Point> triangle_down(const Rect& in); // points down at the middle of the lower edge
std::vector<Point> triangle_up(const Rect& in);   // the shape of a warning sign

// Every box as a line of text, indented under its parent, with whole positions: the form in which laid-out cards are
// compared and looked at.
std::string dump(const Pages& pages);

} // namespace benchleaf::pages
