#include "driver/check.h"
#include "driver/reports.h"

#include <fmt/format.h>

#include <algorithm>

namespace benchleaf::driver {

namespace {

// 150 dpi over 50 mm, smaller than which no picture is printed (pages/picture.cpp). 150 dpi is where a print at reading distance begins to
// show its pixels: common practice.
constexpr std::uint32_t enough_pixels = 295;

} // namespace

namespace checks {
// Found when the pictures are looked at (pipeline.cpp).
extern const Check picture_too_coarse;
const Check picture_too_coarse = {
    {"picture-too-coarse", messages::Level::warning, "a picture with too few pixels to be seen clearly"}, nullptr};
} // namespace checks

void report_if_too_coarse(messages::Messages& out, const source::Spanned<std::string>& file,
                          const pictures::Picture& picture) {
    const std::uint32_t longest = std::max(picture.width, picture.height);
    if (longest >= enough_pixels) return;
    out.add(checks::picture_too_coarse.rule, file.span,
            fmt::format("`{}` has {} × {} pixels: printed 50 mm long, that is {} dpi", file.value, picture.width,
                        picture.height, longest * 254 / 500))
        .help = "draw or take it anew, 1000 pixels wide; under 150 dpi a card shows steps instead of edges";
}

} // namespace benchleaf::driver
