// Boxes on their way to a page: a Piece is a few boxes with a size, laid from its own origin at the top left. Pieces are
// put into pieces until one stands on the page; only then are its positions those of the page.
#pragma once

#include "pages/pages.h"

#include <string>
#include <vector>

namespace benchleaf::pages {

struct Piece {
    std::vector<Box> boxes;
    Length width = 0;
    Length height = 0;

    bool empty() const { return boxes.empty(); }
};

void move_by(Box& box, Length x, Length y);

// Moves the part to (x, y) of the whole, which grows to hold it.
void put(Piece& into, Piece part, Length x, Length y);
void put(Piece& into, Box box);

// Puts the part under what is there, if it is anything.
void put_under(Piece& into, Piece part, Length gap, Length x = 0);

// The piece as one box, at least as wide and high as asked for.
Box boxed(Role role, Piece piece, std::string name = {}, Length least_width = 0, Length least_height = 0);
Piece piece_of(Box box);

Box drawn(Role role, Rect at, Paint paint, std::string name = {});

inline Area framed(Length line, Length corner = 0) {
    return {std::nullopt, line, 0, corner};
}
inline Area filled(std::uint8_t grey) {
    return {grey, 0, 0, 0};
}

} // namespace benchleaf::pages
