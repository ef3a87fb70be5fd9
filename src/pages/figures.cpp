// The figures that the program draws: the ring of fasteners with the order in which they are tightened, the bar of wear, the map of the wheels.
#include "pages/figures.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace benchleaf::pages {

namespace {

using fonts::Face;

constexpr std::uint8_t path_grey = 140;

// A number in the middle of a disc.
Box node(Making& in, const std::string& number, Length side, bool first) {
    Piece inside;
    Piece word = in.setter.paragraph(number, Face::bold, side, {Role::tightening_order, in.style.figure});
    const Length x = (side - word.width) / 2;
    const Length y = side / 2 + cap_height(in.style.figure) / 2 - ascent(in.style.figure);
    put(inside, std::move(word), x, y);
    Box box = boxed(Role::mark, std::move(inside), {}, side, side);
    box.at.height = side; // the line's own height may reach below the disc: nothing is drawn there
    box.paint = Area{std::uint8_t{255}, first ? pt(2.6) : pt(1), 0, side / 2};
    return box;
}

} // namespace

Piece ring_of_fasteners(Making& in, const std::vector<int>& order) {
    const auto count = order.size();
    if (count < 3) return {};
    const Length side = in.setter.width("00", Face::bold, in.style.figure) + pt(6);
    const Length apart = side + pt(4);
    const double least = static_cast<double>(apart) / (2 * std::sin(std::numbers::pi / static_cast<double>(count)));
    const Length radius = std::max(pt(27), static_cast<Length>(std::lround(least)));
    const Length whole = 2 * radius + side;
    const auto place = [&](int number) { // from the top, clockwise
        const double turn = 2 * std::numbers::pi * (number - 1) / static_cast<double>(count);
        return Point{whole / 2 + static_cast<Length>(std::lround(radius * std::sin(turn))),
                     whole / 2 - static_cast<Length>(std::lround(radius * std::cos(turn)))};
    };
    Line path{{}, pt(0.7), path_grey, 0};
    Piece nodes;
    for (std::size_t i = 0; i < count; ++i) {
        const Point at = place(order[i]);
        path.points.push_back(at);
        Box box = node(in, std::to_string(i + 1), side, i == 0);
        move_by(box, at.x - side / 2, at.y - side / 2);
        put(nodes, std::move(box));
    }
    Box figure = boxed(Role::ring, std::move(nodes), {}, whole, whole);
    figure.at = {0, 0, whole, whole};
    figure.paint = std::move(path);
    return piece_of(std::move(figure));
}

Piece wear_bar(Making& in, const card::WearBar& wear, Length width) {
    const Style& s = in.style;
    const Length tall = pt(9);
    const Length sign = pt(6);
    const auto x_of = [&](const card::WearBar::Mark& mark) {
        return static_cast<Length>(static_cast<std::int64_t>(width) * mark.at / 1000);
    };
    const auto word = [&](const std::string& text, Face face) {
        return in.setter.paragraph(text, face, width, {Role::label, s.fine});
    };
    Piece all;
    Length y = 0;
    if (wear.expected) {
        const Length x = x_of(*wear.expected);
        const Length left = std::clamp<Length>(x - sign / 2, 0, width - sign);
        const Rect at{left, line_height(s.fine) - sign - pt(1), sign, sign};
        put(all, drawn(Role::mark, at, Polygon{triangle_down(at), 0}));
        Piece text = word(wear.expected->text, Face::regular);
        const Length beside = left + sign + pt(2);
        const Length text_x = beside + text.width <= width ? beside : left - pt(2) - text.width;
        put(all, std::move(text), text_x, 0);
        y = line_height(s.fine);
    }
    const Length limit = x_of(wear.limit);
    const Length keep = std::max(limit, x_of(wear.keep));
    // Told by height and not by tone, so that a bad copy moves no mark: full up to the limit, a low step up to the keep figure, empty from there on.
    const Length low = tall * 2 / 5;
    put(all, drawn(Role::bar, {0, y, limit, tall}, filled(0)));
    if (keep > limit) put(all, drawn(Role::bar, {limit, y + tall - low, keep - limit, low}, filled(0)));
    if (keep < width) {
        put(all, drawn(Role::bar, {keep, y + tall - pt(1.2), width - keep, pt(1.2)}, filled(0)));
        put(all, drawn(Role::bar, {width - pt(1.5), y, pt(1.5), tall - pt(1.2)}, filled(0)));
    }
    y += tall;

    // Under it: the limit ends at its mark, the size when new at the end, the keep figure stands beside its own.
    Piece least = word(wear.limit.text, Face::regular);
    Piece as_new = word(wear.as_new.text, Face::regular);
    Piece kept = word(wear.keep.text, Face::bold);
    const Length least_x = std::max<Length>(0, limit - least.width - pt(3));
    const Length new_x = width - as_new.width;
    const Rect at{std::clamp<Length>(keep - sign / 2, 0, width - sign), y + pt(1), sign, sign};
    put(all, drawn(Role::mark, at, Polygon{triangle_up(at), 0}));
    Length kept_x = at.right() + pt(2);
    const bool crowded = kept_x + kept.width + pt(4) > new_x;
    if (crowded) kept_x = at.x - pt(2) - kept.width;
    const bool room = kept_x >= least_x + least.width + pt(3);
    put(all, std::move(least), least_x, y);
    if (!crowded || at.right() + pt(3) <= new_x) put(all, std::move(as_new), new_x, y);
    if (room) put(all, std::move(kept), kept_x, y);
    all.width = width;
    return piece_of(boxed(Role::wear_bar, std::move(all), {}, width));
}

Piece wheel_map(Making& in, const std::vector<card::Axle>& axles, Length tall) {
    if (axles.empty()) return {};
    const Style& s = in.style;
    const Length wheel_wide = pt(7);
    const Length body_wide = pt(13);
    const Length nose = pt(6);
    Length head = 0;
    std::size_t most = 1;
    for (const card::Axle& axle : axles) {
        most = std::max(most, axle.size());
        for (const card::Wheel& wheel : axle)
            if (!wheel.head.empty()) head = std::max(head, in.setter.width(wheel.head, Face::bold, s.figure) + pt(2));
    }
    const auto beside = static_cast<Length>(most / 2); // wheels at one side, at most
    const Length half = body_wide / 2 + beside * (wheel_wide + pt(2)) + head;
    const Length pitch = (tall - nose - pt(2)) / static_cast<Length>(axles.size());
    const Length wheel_tall = std::min(pt(17), pitch - pt(3));

    Piece body;
    Piece all;
    const auto draw = [&](const card::Wheel& wheel, Length x, Length y) {
        return drawn(Role::mark, {x, y, wheel_wide, wheel_tall},
                     wheel.here ? Area{std::uint8_t{0}, 0, 0, pt(2)} : Area{std::nullopt, pt(0.8), 0, pt(2)});
    };
    const Rect front{half - nose / 2, 0, nose, nose - pt(1)};
    put(all, drawn(Role::mark, front, Polygon{triangle_up(front), 0}));
    for (std::size_t a = 0; a < axles.size(); ++a) {
        const card::Axle& axle = axles[a];
        const Length y = nose + pt(2) + static_cast<Length>(a) * pitch + (pitch - wheel_tall) / 2;
        const std::size_t side = axle.size() / 2;
        for (std::size_t w = 0; w < axle.size(); ++w) {
            const bool middle = axle.size() % 2 == 1 && w == side;
            if (middle) {
                put(body, draw(axle[w], half - wheel_wide / 2, y));
                continue;
            }
            const bool left = w < side;
            // Counted outwards from the body.
            const auto out = static_cast<Length>(left ? side - w : w - side + (axle.size() % 2 == 0 ? 1 : 0));
            const Length from = body_wide / 2 + (out - 1) * (wheel_wide + pt(2)) + pt(2);
            const Length x = left ? half - from - wheel_wide : half + from;
            put(all, draw(axle[w], x, y));
            if (axle[w].head.empty() || !(w == 0 || w + 1 == axle.size())) continue;
            Piece word = in.setter.paragraph(axle[w].head, Face::bold, head, {Role::label, s.figure});
            const Length word_x = left ? x - pt(2) - word.width : x + wheel_wide + pt(2);
            put(all, std::move(word), word_x, y + wheel_tall / 2 + cap_height(s.figure) / 2 - ascent(s.figure));
        }
    }
    Box frame = drawn(Role::mark, {half - body_wide / 2, nose + pt(1), body_wide, tall - nose - pt(1)},
                      Area{std::nullopt, pt(0.8), path_grey, pt(4)});
    frame.children = std::move(body.boxes);
    put(all, std::move(frame));
    return piece_of(boxed(Role::axle_map, std::move(all), {}, 2 * half, tall));
}

} // namespace benchleaf::pages
