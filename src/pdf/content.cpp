#include "pdf/content.h"

#include "base/text.h"
#include "pdf/objects.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <iterator>
#include <string_view>
#include <utility>

namespace benchleaf::pdf {

namespace {

using pages::Length;
using pages::Point;
using pages::Rect;

// Writes operators, and leaves out those that would set what is set already.
class Operators {
public:
    Operators(pages::Size size, const ImageNames& images) : height_(size.height), images_(images) {}

    void box(const pages::Box& box) {
        at_ = box.at;
        std::visit(*this, box.paint);
        for (const pages::Box& child : box.children) this->box(child);
    }

    void operator()(std::monostate) {}

    void operator()(const pages::Text& text) {
        if (text.utf8.empty()) return;
        fill_grey(text.grey);
        out_ += "BT ";
        font(text.face, text.size);
        point_at({at_.x, text.baseline}, "Td ");
        out_ += '(';
        for (std::size_t at = 0; at < text.utf8.size();) {
            const base::CodePoint point = base::code_point_at(text.utf8, at);
            at += point.bytes;
            byte_of_string(point.value >> 8U);
            byte_of_string(point.value & 0xFFU);
        }
        out_ += ")Tj ET\n";
    }

    void operator()(const pages::Area& area) {
        if (area.fill) {
            fill_grey(*area.fill);
            outline(at_, area.corner);
            out_ += "f\n";
        }
        if (area.line > 0) {
            stroke(area.line, area.line_grey, 0);
            const Length half = area.line / 2; // half of an odd width: the stroke is 1/2000 pt off its place
            outline({at_.x + half, at_.y + half, at_.width - area.line, at_.height - area.line},
                    area.corner > half ? area.corner - half : 0);
            out_ += "S\n";
        }
    }

    void operator()(const pages::Line& line) {
        stroke(line.width, line.grey, line.dash);
        path(line.points);
        out_ += "S\n";
    }

    void operator()(const pages::Polygon& polygon) {
        fill_grey(polygon.grey);
        path(polygon.points);
        out_ += "f\n";
    }

    void operator()(const pages::Drawing& drawing) {
        for (const pages::Polygon& each : drawing.areas) (*this)(each);
        for (const pages::Line& each : drawing.lines) (*this)(each);
    }

    // Drawn in modules, in a space of its own, which keeps the stream short. All dark modules are one path, filled at once:
    // a reader that smooths edges then leaves no seams between them.
    void operator()(const pages::Qr& qr) {
        if (qr.modules.find('1') == std::string::npos) return;
        fill_grey(0);
        const std::int64_t module = std::int64_t{1'000'000} * at_.width / qr.side; // in 1/1'000'000'000 pt
        out_ += "q ";
        long_number(module);
        out_ += "0 0 ";
        long_number(-module);
        point_at({at_.x, at_.y}, "cm ");
        for (int row = 0; row < qr.side; ++row) {
            const char* modules = qr.modules.data() + static_cast<std::ptrdiff_t>(row) * qr.side;
            for (int column = 0; column < qr.side;) {
                const int first = column;
                while (column < qr.side && modules[column] == '1') ++column;
                if (column > first) {
                    for (const int each : {first, row, column - first}) number(std::int64_t{1000} * each);
                    out_ += "1 re ";
                }
                while (column < qr.side && modules[column] == '0') ++column;
            }
        }
        out_ += "f Q\n";
    }

    // What it shows in words goes with it (ISO 32000-1, 14.9.3).
    void operator()(const pages::Image& image) {
        if (!image.shows.empty()) out_ += fmt::format("/Span<</Alt{}>>BDC ", text_string(image.shows));
        out_ += "q ";
        number(at_.width);
        out_ += "0 0 ";
        number(at_.height);
        point_at({at_.x, at_.bottom()}, "cm ");
        out_ += fmt::format("/{} Do Q", images_.at(&image));
        out_ += image.shows.empty() ? "\n" : " EMC\n";
        // Black in white, so that they are seen on any picture.
        struct Pass {
            std::uint8_t grey;
            Length width, dot;
        };
        for (const Pass& pass : {Pass{255, 3600, 3400}, Pass{0, 1400, 2300}}) {
            for (const pages::Image::Lead& lead : image.leads) {
                stroke(pass.width, pass.grey, 0);
                path({lead.from, lead.to});
                out_ += "S\n";
                fill_grey(pass.grey);
                outline({lead.to.x - pass.dot, lead.to.y - pass.dot, 2 * pass.dot, 2 * pass.dot}, pass.dot);
                out_ += "f\n";
            }
        }
    }

    std::string taken() { return std::move(out_); }

private:
    // A reader takes a carriage return as it is for a line feed (7.3.4.2).
    void byte_of_string(char32_t byte) {
        if (byte == '(' || byte == ')' || byte == '\\') out_ += '\\';
        if (byte == '\r')
            out_ += "\\r";
        else
            out_ += static_cast<char>(byte);
    }

    // A length in points, with no more digits than it has.
    void number(std::int64_t thousandths) {
        // Written from its end.
        char text[24];
        char* begin = std::end(text);
        *--begin = ' ';
        auto rest = std::abs(thousandths);
        bool point = false;
        for (int place = 0; place < 3; ++place, rest /= 10) {
            if (!point && rest % 10 == 0) continue;
            *--begin = static_cast<char>('0' + rest % 10);
            point = true;
        }
        if (point) *--begin = '.';
        do *--begin = static_cast<char>('0' + rest % 10);
        while ((rest /= 10) > 0);
        if (thousandths < 0) *--begin = '-';
        out_.append(begin, std::end(text));
    }

    void long_number(std::int64_t billionths) {
        fmt::format_to(std::back_inserter(out_), "{}{}.{:09} ", billionths < 0 ? "-" : "",
                       std::abs(billionths) / 1'000'000'000, std::abs(billionths) % 1'000'000'000);
    }

    void point_at(Point point, std::string_view operation) {
        number(point.x);
        number(static_cast<std::int64_t>(height_) - point.y); // a PDF page has its origin at the bottom
        out_ += operation;
    }

    void path(const std::vector<Point>& points) {
        point_at(points.front(), "m ");
        for (std::size_t i = 1; i < points.size(); ++i) point_at(points[i], "l ");
    }

    void rectangle(const Rect& rect) {
        number(rect.x);
        number(static_cast<std::int64_t>(height_) - rect.bottom());
        number(rect.width);
        number(rect.height);
        out_ += "re ";
    }

    void outline(const Rect& rect, Length corner) {
        const Length most = std::min(rect.width, rect.height) / 2;
        const Length r = std::min(corner, most);
        if (r <= 0) return rectangle(rect);
        const auto pull =
            static_cast<Length>(r * std::int64_t{5523} / 10000); // a quarter of a circle as a Bézier curve
        const Length l = rect.x, t = rect.y, b = rect.bottom(), e = rect.right();
        const auto curve = [&](Point one, Point two, Point end) {
            point_at(one, "");
            point_at(two, "");
            point_at(end, "c ");
        };
        point_at({l + r, t}, "m ");
        point_at({e - r, t}, "l ");
        curve({e - r + pull, t}, {e, t + r - pull}, {e, t + r});
        point_at({e, b - r}, "l ");
        curve({e, b - r + pull}, {e - r + pull, b}, {e - r, b});
        point_at({l + r, b}, "l ");
        curve({l + r - pull, b}, {l, b - r + pull}, {l, b - r});
        point_at({l, t + r}, "l ");
        curve({l, t + r - pull}, {l + r - pull, t}, {l + r, t});
        out_ += "h ";
    }

    void grey(std::uint8_t grey, std::string_view operation) {
        number((grey * 1000 + 127) / 255);
        out_ += operation;
    }

    void fill_grey(std::uint8_t value) {
        if (value == fill_grey_) return;
        fill_grey_ = value;
        grey(value, "g ");
    }

    void stroke(Length width, std::uint8_t line_grey, Length dash) {
        if (line_grey != line_grey_) {
            line_grey_ = line_grey;
            grey(line_grey, "G ");
        }
        if (width != width_) {
            width_ = width;
            number(width);
            out_ += "w ";
        }
        const bool dots = dash > 0 && dash <= width; // strokes of no length with round ends
        if (dash != dash_ || dots != dots_) {
            out_ += '[';
            if (dash > 0) {
                number(dots ? 0 : dash);
                number(dots ? std::int64_t{2} * dash : dash);
            }
            out_ += "]0 d ";
            if (dots != dots_) out_ += dots ? "1 J " : "0 J ";
            dash_ = dash;
            dots_ = dots;
        }
    }

    void font(fonts::Face face, Length size) {
        if (face == face_ && font_size_ == size) return;
        face_ = face;
        font_size_ = size;
        out_ += '/';
        out_ += font_name(face);
        out_ += ' ';
        number(size);
        out_ += "Tf ";
    }

    Length height_;
    const ImageNames& images_;
    std::string out_;
    Rect at_;
    // What is set, as each page begins (ISO 32000-1, 8.4.1).
    std::uint8_t fill_grey_ = 0;
    std::uint8_t line_grey_ = 0;
    Length width_ = 1000;
    Length dash_ = 0;
    bool dots_ = false;
    fonts::Face face_ = fonts::Face::regular;
    Length font_size_ = 0; // no font yet
};

} // namespace

std::string_view font_name(fonts::Face face) {
    switch (face) {
    case fonts::Face::regular:
        return "R";
    case fonts::Face::bold:
        return "B";
    case fonts::Face::italic:
        return "I";
    }
    return "";
}

std::string content(const pages::Page& page, pages::Size size, const ImageNames& images) {
    Operators operators(size, images);
    for (const pages::Box& box : page.boxes) operators.box(box);
    return operators.taken();
}

} // namespace benchleaf::pdf
