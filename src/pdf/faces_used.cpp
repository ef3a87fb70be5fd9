#include "pdf/faces_used.h"

#include "base/text.h"

#include <fmt/format.h>

#include <cstdint>
#include <optional>
#include <utility>

namespace benchleaf::pdf {

namespace {

using pages::Length;

constexpr Length far = 20'000'000; // 1/1000 pt: more than any paper, and safe to add up

bool near(Length length) {
    return -far <= length && length <= far;
}

struct Walk {
    FacesUsed used;
    std::string wrong; // what is the matter with the box; empty while all is well

    void operator()(std::monostate) {}

    void operator()(const pages::Text& text) {
        if (text.size <= 0 || !near(text.size) || !near(text.baseline)) {
            wrong = "the size or the baseline of its text is out of range";
        } else if (base::first_bad_utf8(text.utf8)) {
            wrong = "its text is not UTF-8";
        } else if (!text.utf8.empty()) {
            letters(text.utf8, used.at(static_cast<std::size_t>(text.face)));
        }
    }

    void operator()(const pages::Area& area) {
        if (area.line < 0 || area.corner < 0 || !near(area.line) || !near(area.corner))
            wrong = "its line or its corner is out of range";
    }

    void operator()(const pages::Line& line) {
        if (line.points.size() < 2) wrong = "its line has less than two points";
        if (line.width <= 0 || line.dash < 0 || !near(line.width) || !near(line.dash))
            wrong = "its line is out of range";
        points(line.points);
    }

    void operator()(const pages::Polygon& polygon) {
        if (polygon.points.size() < 3) wrong = "its polygon has less than three points";
        points(polygon.points);
    }

    void operator()(const pages::Drawing& drawing) {
        for (const pages::Polygon& each : drawing.areas) (*this)(each);
        for (const pages::Line& each : drawing.lines) (*this)(each);
    }

    void operator()(const pages::Image& image) {
        if (image.picture == nullptr || image.picture->kept.pixels.empty()) wrong = "it has no picture";
        if (base::first_bad_utf8(image.shows)) wrong = "what its picture shows is not UTF-8";
        for (const pages::Image::Lead& lead : image.leads) points({lead.from, lead.to});
    }

    void operator()(const pages::Qr& qr) {
        // ISO/IEC 18004: 21 to 177 modules a side.
        if (qr.side < 1 || qr.side > 177 ||
            qr.modules.size() != static_cast<std::size_t>(qr.side) * static_cast<std::size_t>(qr.side) ||
            qr.modules.find_first_not_of("01") != std::string::npos)
            wrong = "its modules are no square of 0 and 1";
    }

    void points(const std::vector<pages::Point>& all) {
        for (const pages::Point& point : all)
            if (!near(point.x) || !near(point.y)) wrong = "it has a point out of range";
    }

    void letters(const std::string& utf8, std::optional<fonts::Kinds>& kinds) {
        if (!kinds) kinds.emplace();
        for (std::size_t at = 0; at < utf8.size();) {
            const base::CodePoint point = base::code_point_at(utf8, at);
            if (!fonts::covers(point.value)) {
                wrong = fmt::format("the faces lack U+{:04X} ({})", static_cast<std::uint32_t>(point.value),
                                    fonts::script_of(point.value));
                return;
            }
            *kinds |= fonts::kinds_of(point.value);
            at += point.bytes;
        }
    }

    std::optional<base::Failure> box(const pages::Box& box, int depth, std::size_t page) {
        if (depth >= pages::most_nested)
            return base::Failure{fmt::format("page {}: boxes are nested more than {} deep", page, pages::most_nested)};
        const pages::Rect& at = box.at;
        if (!near(at.x) || !near(at.y) || at.width < 0 || at.height < 0 || !near(at.width) || !near(at.height))
            wrong = "it is out of range";
        std::visit(*this, box.paint);
        if (std::holds_alternative<pages::Qr>(box.paint) && at.width != at.height) wrong = "its modules are not square";
        if (const auto* area = std::get_if<pages::Area>(&box.paint);
            area != nullptr && (area->line > at.width || area->line > at.height))
            wrong = "its line is thicker than the box";
        if (!wrong.empty())
            return base::Failure{fmt::format("page {}: box {}{}{}: {}", page, pages::name(box.role),
                                             box.name.empty() ? "" : " ", box.name, wrong)};
        for (const pages::Box& child : box.children)
            if (auto failure = this->box(child, depth + 1, page)) return failure;
        return std::nullopt;
    }
};

} // namespace

base::Result<FacesUsed> faces_used(const pages::Pages& pages) {
    if (pages.pages.empty()) return base::Failure{"there is no page to print"};
    Walk walk;
    std::size_t number = 0;
    for (const pages::Page& page : pages.pages) {
        ++number;
        for (const pages::Box& box : page.boxes)
            if (auto failure = walk.box(box, 0, number)) return std::move(*failure);
    }
    return walk.used;
}

} // namespace benchleaf::pdf
