// Pages as text, the names of roles, and the small drawn signs.
#include "base/require.h"
#include "pages/pages.h"

#include <fmt/format.h>

#include <iterator>

namespace benchleaf::pages {

namespace {

constexpr std::array<std::string_view, role_count> role_names = {"head",
                                                                 "body",
                                                                 "foot",
                                                                 "qr",
                                                                 "axle map",
                                                                 "across",
                                                                 "before start",
                                                                 "list",
                                                                 "list head",
                                                                 "list item",
                                                                 "section",
                                                                 "section head",
                                                                 "column head",
                                                                 "step",
                                                                 "question",
                                                                 "answer",
                                                                 "repeat",
                                                                 "aside",
                                                                 "stop",
                                                                 "caution",
                                                                 "signal word",
                                                                 "findings",
                                                                 "work stopped",
                                                                 "close-out",
                                                                 "sign-off",
                                                                 "slip",
                                                                 "number",
                                                                 "text",
                                                                 "why",
                                                                 "label",
                                                                 "panel",
                                                                 "torque figure",
                                                                 "limit figure",
                                                                 "second figure",
                                                                 "tightening order",
                                                                 "ring of fasteners",
                                                                 "wear bar",
                                                                 "plot",
                                                                 "tick",
                                                                 "reading box",
                                                                 "initials box",
                                                                 "signature box",
                                                                 "entry box",
                                                                 "write line",
                                                                 "rule",
                                                                 "bar",
                                                                 "mark",
                                                                 "picture"};
static_assert(!role_names.back().empty(), "a role has no name");

using Out = std::back_insert_iterator<std::string>;

void put_points(Out out, const std::vector<Point>& points) {
    for (const Point& point : points) fmt::format_to(out, " {},{}", point.x, point.y);
}

struct PaintDump {
    Out out;
    int indent;

    void operator()(std::monostate) const {}
    void operator()(const Text& text) const {
        fmt::format_to(out, " | {} {} on {}", fonts::name(text.face), text.size, text.baseline);
        if (text.grey != 0) fmt::format_to(out, " grey {}", text.grey);
        fmt::format_to(out, " | {}", text.utf8); // last, so that a text may hold any sign
    }
    void operator()(const Area& area) const {
        fmt::format_to(out, " |");
        if (area.fill) fmt::format_to(out, " filled {}", *area.fill);
        if (area.line != 0) fmt::format_to(out, " framed {}", area.line);
        if (area.line != 0 && area.line_grey != 0) fmt::format_to(out, " grey {}", area.line_grey);
        if (area.corner != 0) fmt::format_to(out, " corner {}", area.corner);
    }
    void operator()(const Line& line) const {
        fmt::format_to(out, " | line {}", line.width);
        if (line.grey != 0) fmt::format_to(out, " grey {}", line.grey);
        if (line.dash != 0) fmt::format_to(out, " dash {}", line.dash);
        put_points(out, line.points);
    }
    void operator()(const Polygon& polygon) const {
        fmt::format_to(out, " | polygon");
        if (polygon.grey != 0) fmt::format_to(out, " grey {}", polygon.grey);
        put_points(out, polygon.points);
    }
    void operator()(const Drawing& drawing) const {
        for (const Polygon& each : drawing.areas) (*this)(each);
        for (const Line& each : drawing.lines) (*this)(each);
    }
    void operator()(const Image& image) const {
        fmt::format_to(out, " | {} × {} pixels", image.picture->width, image.picture->height);
        for (const Image::Lead& lead : image.leads)
            fmt::format_to(out, " {},{}–{},{}", lead.from.x, lead.from.y, lead.to.x, lead.to.y);
    }
    void operator()(const Qr& qr) const {
        fmt::format_to(out, " | modules {}", qr.side);
        if (qr.modules.empty()) return;
        for (int row = 0; row < qr.side; ++row) {
            const auto from = static_cast<std::size_t>(row) * static_cast<std::size_t>(qr.side);
            fmt::format_to(out, "\n{:{}}{}", "", indent, qr.modules.substr(from, static_cast<std::size_t>(qr.side)));
        }
    }
};

void put_box(Out out, const Box& box, int depth) {
    base::require(depth < most_nested, "boxes of a page are nested too deeply");
    fmt::format_to(out, "{:{}}{}", "", 2 * (depth + 1), name(box.role));
    if (!box.name.empty()) fmt::format_to(out, " [{}]", box.name);
    fmt::format_to(out, " {},{} {}x{}", box.at.x, box.at.y, box.at.width, box.at.height);
    std::visit(PaintDump{out, 2 * (depth + 2)}, box.paint);
    *out++ = '\n';
    for (const Box& child : box.children) put_box(out, child, depth + 1);
}

// A point of a sign drawn on a square of 100 by 100.
Point on(const Rect& in, std::int64_t x, std::int64_t y) {
    return {static_cast<Length>(in.x + in.width * x / 100), static_cast<Length>(in.y + in.height * y / 100)};
}

} // namespace

std::string_view name(Role role) {
    return role_names.at(static_cast<std::size_t>(role));
}

std::string_view name(Paper paper) {
    switch (paper) {
    case Paper::a4:
        return "a4";
    case Paper::letter:
        return "letter";
    case Paper::a5:
        return "a5";
    }
    return "";
}

std::vector<Point> tick_mark(const Rect& in) {
    return {on(in, 10, 55), on(in, 38, 85), on(in, 90, 15)};
}

std::vector<Point> arrow_right(const Rect& in) {
    return {on(in, 0, 42),  on(in, 60, 42), on(in, 60, 10), on(in, 100, 50),
            on(in, 60, 90), on(in, 60, 58), on(in, 0, 58)};
}

std::vector<Point> arrow_down(const Rect& in) {
    return {on(in, 42, 0),  on(in, 42, 60), on(in, 10, 60), on(in, 50, 100),
            on(in, 90, 60), on(in, 58, 60), on(in, 58, 0)};
}

std::vector<Point> triangle_down(const Rect& in) {
    return {on(in, 0, 0), on(in, 100, 0), on(in, 50, 100)};
}

std::vector<Point> triangle_up(const Rect& in) {
    return {on(in, 50, 0), on(in, 100, 100), on(in, 0, 100)};
}

std::string dump(const Pages& pages) {
    std::string text;
    const Out out(text);
    const Size size = size_of(pages.paper);
    fmt::format_to(out, "{} {}x{} in 1/1000 pt\n", name(pages.paper), size.width, size.height);
    int number = 0;
    for (const Page& page : pages.pages) {
        fmt::format_to(out, "page {}\n", ++number);
        for (const Box& box : page.boxes) put_box(out, box, 0);
    }
    return text;
}

} // namespace benchleaf::pages
