// Words across a page, under all that stands on it: pale, so that the card can be read, and large, so that nobody overlooks them.
#include "pages/lay_out.h"

#include <algorithm>
#include <array>

namespace benchleaf::pages {

void put_across(Pages& pages, std::string_view words) {
    constexpr std::uint8_t pale = 210; // seen on a copy, and black type on it is read
    constexpr Length largest = pt(76);
    constexpr std::array<int, 3> heights = {34, 60, 86}; // in hundredths of the page
    const Size paper = size_of(pages.paper);
    const Length left = mm(18);
    const Length room = paper.width - left - mm(10);
    const std::int64_t units = fonts::width(fonts::Face::bold, words);
    const auto fits = static_cast<Length>(std::int64_t{room} * fonts::units_per_em / std::max<std::int64_t>(units, 1));
    const Length size = std::min(fits, largest);
    const auto wide = static_cast<Length>(units * size / fonts::units_per_em) + 1;
    for (Page& page : pages.pages)
        for (std::size_t i = heights.size(); i-- > 0;) {
            const Length baseline = paper.height / 100 * heights[i];
            Box box;
            box.role = Role::across;
            box.at = {left + (room - std::min(wide, room)) / 2, baseline - size, std::min(wide, room), size + size / 4};
            box.paint = Text{std::string(words), fonts::Face::bold, size, baseline, pale};
            page.boxes.insert(page.boxes.begin(), std::move(box));
        }
}

} // namespace benchleaf::pages
