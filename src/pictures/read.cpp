#include "base/text.h"
#include "pictures/bounds.h"
#include "pictures/jpeg.h"
#include "pictures/pictures.h"
#include "pictures/png.h"
#include "pictures/raster.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace benchleaf::pictures {

namespace {

bool named_png(std::string_view path) {
    return base::small_letters(path).ends_with(".png");
}

Refused named_wrong(std::string_view is, std::string_view path, std::string_view end) {
    const std::string_view name = path.substr(path.rfind('/') + 1);
    return {fmt::format("it is a {}, and its name says otherwise", is),
            fmt::format("call it `{}{}`", name.substr(0, name.rfind('.')), end)};
}

} // namespace

Refused damaged(std::string_view how) {
    return {std::string(how), "open it in a program for pictures; if it looks right there, save it anew as a PNG"};
}

std::optional<Refused> out_of_bounds(std::uint64_t width, std::uint64_t height) {
    if (width > most_side || height > most_side || width * height > most_pixels)
        return Refused{fmt::format("it says that it has {} × {} pixels, and {} million is the most", width, height,
                                   most_pixels / 1'000'000),
                       "scale it down: 1600 pixels are as many as a card can show"};
    if (width < least_side || height < least_side)
        return Refused{fmt::format("it has {} × {} pixels, and nothing can be seen on it", width, height),
                       "draw or take it anew, 1000 pixels wide"};
    if (width > most_slender * height || height > most_slender * width)
        return Refused{fmt::format("it is more than {} times as long as wide", most_slender),
                       "cut it to what is to be seen, or leave some white round it"};
    return std::nullopt;
}

bool named_as_picture(std::string_view path) {
    const std::string small = base::small_letters(path);
    return small.ends_with(".png") || small.ends_with(".jpg") || small.ends_with(".jpeg");
}

std::variant<Picture, Refused> read(std::string bytes, std::string_view path) {
    if (bytes.size() > most_bytes)
        return Refused{fmt::format("it has more than {} million bytes", most_bytes / 1'000'000),
                       "scale it down: 1600 pixels are as many as a card can show"};
    const bool is_png = bytes.starts_with(png_signature);
    if (!is_png && !bytes.starts_with(jpeg_signature))
        return Refused{bytes.empty() ? "it is empty" : "it is neither a PNG nor a JPEG",
                       "open it in a program for pictures, and save it as a PNG"};
    if (is_png && !named_png(path)) return named_wrong("PNG", path, ".png");
    if (!is_png && named_png(path)) return named_wrong("JPEG", path, ".jpg");
    auto made = is_png ? read_png(bytes) : read_jpeg(bytes);
    if (auto* picture = std::get_if<Picture>(&made)) picture->bytes = std::move(bytes);
    return made;
}

Printable printable(const Picture& picture, std::uint32_t most_width, std::uint32_t most_height) {
    Raster raster = scaled_down(picture.kept, most_width, most_height);
    Printable made{raster.width, raster.height, raster.channels, picture.photo, {}};
    made.data = picture.photo ? written_jpeg(raster) : std::move(raster.pixels);
    return made;
}

} // namespace benchleaf::pictures
