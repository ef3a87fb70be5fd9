#include "pages/piece.h"

#include <algorithm>
#include <utility>

namespace benchleaf::pages {

void move_by(Box& box, Length x, Length y) {
    box.at.x += x;
    box.at.y += y;
    if (auto* text = std::get_if<Text>(&box.paint)) text->baseline += y;
    if (auto* line = std::get_if<Line>(&box.paint))
        for (Point& point : line->points) point = {point.x + x, point.y + y};
    if (auto* polygon = std::get_if<Polygon>(&box.paint))
        for (Point& point : polygon->points) point = {point.x + x, point.y + y};
    if (auto* drawing = std::get_if<Drawing>(&box.paint)) {
        for (Polygon& each : drawing->areas)
            for (Point& point : each.points) point = {point.x + x, point.y + y};
        for (Line& each : drawing->lines)
            for (Point& point : each.points) point = {point.x + x, point.y + y};
    }
    if (auto* image = std::get_if<Image>(&box.paint))
        for (Image::Lead& lead : image->leads)
            lead = {{lead.from.x + x, lead.from.y + y}, {lead.to.x + x, lead.to.y + y}};
    for (Box& child : box.children) move_by(child, x, y);
}

void put(Piece& into, Piece part, Length x, Length y) {
    into.width = std::max(into.width, x + part.width);
    into.height = std::max(into.height, y + part.height);
    for (Box& box : part.boxes) {
        if (x != 0 || y != 0) move_by(box, x, y);
        into.boxes.push_back(std::move(box));
    }
}

void put(Piece& into, Box box) {
    into.width = std::max(into.width, box.at.right());
    into.height = std::max(into.height, box.at.bottom());
    into.boxes.push_back(std::move(box));
}

void put_under(Piece& into, Piece part, Length gap, Length x) {
    if (part.empty()) return;
    const Length y = into.empty() ? into.height : into.height + gap;
    put(into, std::move(part), x, y);
}

Box boxed(Role role, Piece piece, std::string name, Length least_width, Length least_height) {
    Box box;
    box.role = role;
    box.name = std::move(name);
    box.at = {0, 0, std::max(piece.width, least_width), std::max(piece.height, least_height)};
    box.children = std::move(piece.boxes);
    return box;
}

Piece piece_of(Box box) {
    Piece piece;
    put(piece, std::move(box));
    return piece;
}

Box drawn(Role role, Rect at, Paint paint, std::string name) {
    Box box;
    box.at = at;
    box.role = role;
    box.name = std::move(name);
    box.paint = std::move(paint);
    return box;
}

} // namespace benchleaf::pages
