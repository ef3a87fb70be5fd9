// Bytes of a picture → its pixels, or why not. Held: a refusal says why and what to do; what is kept lies within the bounds and has all its pixels; what is painted is no
// larger than asked, and a photo that is painted can be read again; the same bytes make the same pixels.
#include "fuzz/laws.h"
#include "fuzz/targets.h"

#include "cases/png.h"
#include "pictures/pictures.h"

#include <algorithm>
#include <string>
#include <variant>

namespace benchleaf::fuzz {

namespace {

void hold_picture(const pictures::Picture& picture) {
    const pictures::Raster& kept = picture.kept;
    law(picture.width >= pictures::least_side && picture.height >= pictures::least_side, "a picture is not too small");
    law(picture.width <= pictures::most_side && picture.height <= pictures::most_side, "a picture is not too large");
    law(kept.width > 0 && kept.height > 0 && kept.width <= picture.width && kept.height <= picture.height,
        "what is kept is no larger than the picture");
    law(std::max(kept.width, kept.height) <= pictures::most_kept, "no more is kept than a card can use");
    law(kept.channels == 1 || kept.channels == 3, "a picture is grey or in colour");
    law(kept.pixels.size() == std::size_t{kept.width} * kept.height * kept.channels, "all pixels are there");
    const pictures::Printable paint = pictures::printable(picture, 320, 200);
    law(paint.width > 0 && paint.height > 0 && paint.width <= 320 && paint.height <= 200, "it is painted as asked");
    law(paint.jpeg == picture.photo, "a photo is painted as one");
    if (!paint.jpeg)
        law(paint.data.size() == std::size_t{paint.width} * paint.height * paint.channels, "all of it is painted");
    if (paint.jpeg && std::min(paint.width, paint.height) >= pictures::least_side &&
        paint.width <= pictures::most_slender * paint.height && paint.height <= pictures::most_slender * paint.width)
        law(std::holds_alternative<pictures::Picture>(pictures::read(paint.data, "x.jpg")),
            "a photo that is painted can be read");
}

} // namespace

namespace {

// With the checksum that each chunk of a PNG wants, which no mutation finds.
std::string with_checksums(std::string bytes) {
    const auto number = [&](std::size_t at) {
        std::size_t made = 0;
        for (std::size_t i = 0; i < 4; ++i) made = made << 8U | static_cast<unsigned char>(bytes[at + i]);
        return made;
    };
    for (std::size_t at = 8; at + 12 <= bytes.size();) {
        const std::size_t size = number(at);
        if (size > bytes.size() - at - 12) break;
        std::string sum;
        cases::put_four(sum, cases::crc_of(std::string_view(bytes).substr(at + 4, size + 4)));
        bytes.replace(at + 8 + size, 4, sum);
        at += 12 + size;
    }
    return bytes;
}

void read_as(const std::string& bytes, const std::string& path) {
    const auto read = pictures::read(bytes, path);
    if (const auto* refused = std::get_if<pictures::Refused>(&read)) {
        law(!refused->why.empty() && !refused->help.empty(), "a refusal says why and what to do");
        is_text_for_a_terminal(refused->why + refused->help, "a refusal is text");
        return;
    }
    const auto& made = std::get<pictures::Picture>(read);
    hold_picture(made);
    if (std::uint64_t{made.width} * made.height > 1'000'000) return;
    const auto again = pictures::read(bytes, path);
    law(std::get<pictures::Picture>(again).kept == made.kept, "the same bytes make the same pixels");
}

} // namespace

void picture(std::string_view input) {
    const std::string bytes(input);
    const bool png = bytes.starts_with("\x89P");
    read_as(bytes, png ? "pictures/x.png" : "pictures/x.jpg");
    if (png) read_as(with_checksums(bytes), "pictures/x.png");
}

} // namespace benchleaf::fuzz
