// Pictures with the numbers on them, and what the numbers stand for. A number is a black ring with a white disc in it, which is seen on any
// picture, in grey, and on a copy of a copy.
#include "pages/parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace benchleaf::pages {

namespace {

constexpr Length disc = pt(17);
constexpr Length ring = pt(1.4);
constexpr Length number_size = pt(10.5);
constexpr std::int64_t at_150_dpi = 480;   // 1/1000 pt a pixel: coarser it is not printed …
constexpr Length least_long_side = mm(50); // … unless it would be too small to be seen

// As large as it may be, in its own shape.
Size printed_size(const pictures::Picture& picture, Length most_width, Length most_height) {
    const std::int64_t across = picture.width, down = picture.height;
    const std::int64_t longest = std::max(across, down);
    const std::int64_t fine = std::max(longest * at_150_dpi, std::int64_t{least_long_side}); // of its long side
    std::int64_t width = std::min(std::int64_t{most_width}, fine * across / longest);
    std::int64_t height = width * down / across;
    if (height > most_height) {
        height = most_height;
        width = height * across / down;
    }
    return {static_cast<Length>(std::max<std::int64_t>(width, 1)),
            static_cast<Length>(std::max<std::int64_t>(height, 1))};
}

Piece numbered(Making& in, std::uint32_t number) {
    Piece inside;
    put(inside,
        in.setter.paragraph(std::to_string(number), fonts::Face::bold, disc, {Role::label, number_size, Align::centre}),
        0, disc / 2 + cap_height(number_size) / 2 - ascent(number_size));
    Box box = boxed(Role::mark, std::move(inside), {}, disc, disc);
    box.paint = Area{std::uint8_t{255}, ring, 0, disc / 2};
    return piece_of(std::move(box));
}

Length part_of(Length length, std::int32_t ten_thousandths) {
    return static_cast<Length>(std::int64_t{length} * ten_thousandths / 10'000);
}

// A disc stands where it is wanted, or as near to that as it is free.
class Places {
public:
    explicit Places(Size size) : size_(size) {}

    Point take(Point wanted) {
        const Point inside = clamped(wanted);
        Point best = inside;
        // Sixteen directions, in thousandths.
        static constexpr std::array<std::array<std::int64_t, 2>, 16> ways = {{{1000, 0},
                                                                              {-1000, 0},
                                                                              {0, -1000},
                                                                              {0, 1000},
                                                                              {707, -707},
                                                                              {-707, -707},
                                                                              {707, 707},
                                                                              {-707, 707},
                                                                              {924, -383},
                                                                              {-924, -383},
                                                                              {924, 383},
                                                                              {-924, 383},
                                                                              {383, -924},
                                                                              {-383, -924},
                                                                              {383, 924},
                                                                              {-383, 924}}};
        bool found = is_free(inside);
        for (std::int64_t far = pt(4); !found && far < size_.width + size_.height; far += pt(4)) {
            for (const auto& way : ways) {
                const Point tried = clamped({inside.x + static_cast<Length>(far * way[0] / 1000),
                                             inside.y + static_cast<Length>(far * way[1] / 1000)});
                if (!is_free(tried)) continue;
                best = tried;
                found = true;
                break;
            }
        }
        taken_.push_back(at(best));
        return best;
    }

private:
    static Rect at(Point middle) { return {middle.x - disc / 2, middle.y - disc / 2, disc, disc}; }
    Point clamped(Point point) const {
        return {std::clamp(point.x, disc / 2, std::max(disc / 2, size_.width - disc / 2)),
                std::clamp(point.y, disc / 2, std::max(disc / 2, size_.height - disc / 2))};
    }
    bool is_free(Point middle) const {
        return std::none_of(taken_.begin(), taken_.end(), [&](const Rect& other) { return other.meets(at(middle)); });
    }

    Size size_;
    std::vector<Rect> taken_;
};

} // namespace

Piece picture(Making& in, const card::Picture& what, Length width, Length height, const std::string& row) {
    const Size size = printed_size(*what.picture, width, height);
    Image image{what.picture, what.shows, {}};
    Piece inside;
    Places places(size);
    for (const card::Mark& mark : what.marks) {
        const Point thing{part_of(size.width, mark.across), part_of(size.height, mark.down)};
        const Point middle =
            places.take({part_of(size.width, mark.number_across), part_of(size.height, mark.number_down)});
        const std::int64_t x = thing.x - middle.x, y = thing.y - middle.y;
        if (x * x + y * y > std::int64_t{disc} * disc / 4) image.leads.push_back({middle, thing});
        put(inside, numbered(in, mark.number), middle.x - disc / 2, middle.y - disc / 2);
    }
    Box box = boxed(Role::picture, std::move(inside), row + "/picture", size.width, size.height);
    box.paint = std::move(image);
    return piece_of(std::move(box));
}

Piece legend(Making& in, const card::Picture& what, Length width) {
    const Style& s = in.style;
    Piece all;
    for (const card::Pointed& each : what.legend) {
        Piece line;
        put(line, numbered(in, each.number), 0, 0);
        const Length x = disc + pt(5);
        Piece words = in.setter.paragraph(each.text, fonts::Face::regular, width - x, {Role::label, s.small});
        const Length y = disc / 2 + cap_height(s.small) / 2 - ascent(s.small);
        put(line, std::move(words), x, y);
        put_under(all, std::move(line), pt(2.5));
    }
    return all;
}

} // namespace benchleaf::pages
