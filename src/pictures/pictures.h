// Pictures that a card prints: the bytes of a PNG or JPEG file → what can be laid out and painted, or why not.
//
//   auto read = pictures::read(bytes, "pictures/caliper.png");
//   if (const auto* refused = std::get_if<pictures::Refused>(&read)) …        // refused->why: "its data are cut short"
//   const auto& picture = std::get<pictures::Picture>(read);
//   pictures::printable(picture, 1024, 768)                                   // the pixels for a printed size
//
// A file comes from anybody: from a phone, from a mail. It is held to bounds before anything is unpacked, and a file with any damage is
// refused whole, for half of a picture may hide the one thing that matters. The same bytes make the same pixels.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>

namespace benchleaf::pictures {

inline constexpr std::size_t most_bytes = 16U << 20U; // of a file
inline constexpr std::uint32_t most_side = 16'384;    // pixels
inline constexpr std::uint64_t most_pixels = 32'000'000;
inline constexpr std::uint32_t least_side = 16;
inline constexpr std::uint32_t most_slender = 5; // times as long as wide
// What is kept of it: as many pixels as 300 dpi are over the widest that a card prints, and a little more.
inline constexpr std::uint32_t most_kept = 1600;

struct Raster {
    std::uint32_t width = 0;
    std::uint32_t height = 0;
    std::uint32_t channels = 0; // 1: grey, 3: red, green, blue; 8 bits each
    std::string pixels;         // row by row from the top
    bool operator==(const Raster&) const = default;
};

struct Picture {
    std::uint32_t width = 0; // pixels of the file, as one looks at it
    std::uint32_t height = 0;
    bool photo = false; // from a JPEG
    Raster kept;        // upright, on white, with no more pixels than a card can use
    std::string bytes;  // the file itself
    std::string sha256; // of the file; filled by who read it
};

struct Refused {
    std::string why;  // "its data are damaged"
    std::string help; // what to do about it
};

// Whether the name says that it is a picture: .png, .jpg, .jpeg.
bool named_as_picture(std::string_view path);

std::variant<Picture, Refused> read(std::string bytes, std::string_view path);

// What is painted: a drawing as plain pixels, a photo as a JPEG, which is smaller by far. Nothing of the file itself but its pixels.
struct Printable {
    std::uint32_t width = 0;
    std::uint32_t height = 0;
    std::uint32_t channels = 0;
    bool jpeg = false;
    std::string data;
};
// With at most so many pixels; never with more than the picture has.
Printable printable(const Picture& picture, std::uint32_t most_width, std::uint32_t most_height);

} // namespace benchleaf::pictures
