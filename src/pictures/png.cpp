#include "pictures/png.h"

#include "pictures/bounds.h"
#include "pictures/raster.h"

#include <csetjmp>
#include <png.h>
#include <zlib.h>

#include <algorithm>
#include <vector>

namespace benchleaf::pictures {

namespace {

std::uint32_t number_at(std::string_view bytes, std::size_t at) {
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < 4; ++i) value = value << 8U | static_cast<unsigned char>(bytes[at + i]);
    return value;
}

struct Chunks {
    std::string picture; // the file with nothing in it but what makes the picture
    std::uint32_t width = 0;
    std::uint32_t height = 0;
};

// Walks the chunks: each whole and with its right check sum, up to the end. What is not needed for the pixels (profiles, notes, texts, each of
// which may be packed) is not handed on, so that nothing ever unpacks it.
std::variant<Chunks, Refused> chunks_of(std::string_view bytes) {
    Chunks made;
    made.picture = png_signature;
    std::size_t at = png_signature.size();
    for (bool first = true;; first = false) {
        if (bytes.size() - at < 12) return damaged("its data are cut short");
        const std::size_t length = number_at(bytes, at);
        if (length > bytes.size() - at - 12) return damaged("its data are cut short");
        const std::string_view type = bytes.substr(at + 4, 4);
        const std::string_view whole = bytes.substr(at, length + 12);
        const std::string_view checked = whole.substr(4, length + 4);
        const auto sum = crc32(0, reinterpret_cast<const Bytef*>(checked.data()), static_cast<uInt>(checked.size()));
        if (sum != number_at(whole, length + 8)) return damaged("its data are damaged");
        if (first != (type == "IHDR") || (first && length != 13)) return damaged("its data are damaged");
        if (first) {
            made.width = number_at(whole, 8);
            made.height = number_at(whole, 12);
            if (auto refused = out_of_bounds(made.width, made.height)) return std::move(*refused);
        }
        if (type == "acTL")
            return Refused{"it moves, and a card cannot",
                           "save the one picture of it that is to be seen as a PNG or JPEG of its own"};
        const bool needed = type == "IHDR" || type == "PLTE" || type == "tRNS" || type == "IDAT" || type == "IEND";
        const bool may_be_left_out =
            (static_cast<unsigned char>(type[0]) & 0x20U) != 0; // 5.4: its first letter is small
        if (!needed && !may_be_left_out) return damaged("it has a part that no PNG of today has");
        if (needed) made.picture += whole;
        if (type == "IEND") return made;
        at += whole.size();
    }
}

// What libpng takes the bytes from.
struct Source {
    std::string_view left;
};

extern "C" {

// libpng tells an error by a function that must not come back: it jumps.
[[noreturn]] void png_jump_back(png_structp reader, png_const_charp) {
    png_longjmp(reader, 1);
}

void png_say_nothing(png_structp, png_const_charp) {}

void png_give(png_structp reader, png_bytep to, std::size_t count) {
    auto& source = *static_cast<Source*>(png_get_io_ptr(reader));
    if (count > source.left.size()) png_error(reader, "cut short");
    std::copy_n(source.left.begin(), count, reinterpret_cast<char*>(to));
    source.left.remove_prefix(count);
}

} // extern "C"

struct PngReader {
    png_structp is = nullptr;
    png_infop about = nullptr;
    PngReader() = default;
    PngReader(const PngReader&) = delete;
    PngReader& operator=(const PngReader&) = delete;
    ~PngReader() { png_destroy_read_struct(&is, &about, nullptr); }
};

// Line drawings mostly have a palette of greys: each grey by its number, or false. (Three colours a pixel take their time.)
bool greys_of(PngReader& reader, char* greys) {
    png_colorp palette = nullptr;
    int colours = 0;
    if (png_get_color_type(reader.is, reader.about) != PNG_COLOR_TYPE_PALETTE ||
        png_get_valid(reader.is, reader.about, PNG_INFO_tRNS) != 0 ||
        png_get_PLTE(reader.is, reader.about, &palette, &colours) == 0)
        return false;
    for (int i = 0; i < colours; ++i) {
        if (palette[i].red != palette[i].green || palette[i].red != palette[i].blue) return false;
        greys[i] = static_cast<char>(palette[i].red);
    }
    return true;
}

// Fills `into` with 8 bits a sample, and with how clear each pixel is as its last one where the file says that of any. Nothing that has a destructor
// is made between the mark of a jump and where it may come from. (libpng's simpler functions, which need no jump, read 16 bits interlaced
// wrong in the version of Debian 12.)
bool decode(PngReader& reader, Source& source, Raster& into, std::vector<png_bytep>& rows) {
    if (setjmp(png_jmpbuf(reader.is)) != 0) return false; // NOLINT: libpng leaves nothing else
    png_set_read_fn(reader.is, &source, png_give);
    png_read_info(reader.is, reader.about);
    if (png_get_image_width(reader.is, reader.about) != into.width ||
        png_get_image_height(reader.is, reader.about) != into.height)
        return false;
    char greys[256] = {};
    const bool grey = greys_of(reader, greys);
    if (grey)
        png_set_packing(reader.is);
    else
        png_set_expand(reader.is);
    png_set_scale_16(reader.is);
    png_set_interlace_handling(reader.is);
    png_read_update_info(reader.is, reader.about);
    into.channels = png_get_channels(reader.is, reader.about);
    const std::size_t stride = std::size_t{into.width} * into.channels;
    if (png_get_bit_depth(reader.is, reader.about) != 8 || png_get_rowbytes(reader.is, reader.about) != stride)
        return false;
    into.pixels.resize(stride * into.height);
    for (std::size_t row = 0; row < rows.size(); ++row)
        rows[row] = reinterpret_cast<png_bytep>(into.pixels.data()) + row * stride;
    png_read_image(reader.is, rows.data());
    png_read_end(reader.is, nullptr);
    if (grey)
        for (char& pixel : into.pixels) pixel = greys[static_cast<unsigned char>(pixel)];
    return true;
}

// What is clear is white, as the paper is.
void lay_on_white(Raster& raster) {
    if (raster.channels != 2 && raster.channels != 4) return;
    const std::uint32_t colours = raster.channels - 1;
    std::size_t to = 0;
    for (std::size_t at = 0; at < raster.pixels.size(); at += raster.channels) {
        const unsigned seen = static_cast<unsigned char>(raster.pixels[at + colours]);
        for (std::uint32_t c = 0; c < colours; ++c) {
            const unsigned value = static_cast<unsigned char>(raster.pixels[at + c]);
            raster.pixels[to++] = static_cast<char>((value * seen + 255 * (255 - seen) + 127) / 255);
        }
    }
    raster.pixels.resize(to);
    raster.channels = colours;
}

} // namespace

std::variant<Picture, Refused> read_png(std::string_view bytes) {
    auto walked = chunks_of(bytes);
    if (auto* refused = std::get_if<Refused>(&walked)) return std::move(*refused);
    const Chunks& chunks = *std::get_if<Chunks>(&walked);
    Picture made;
    made.width = made.kept.width = chunks.width;
    made.height = made.kept.height = chunks.height;
    PngReader reader;
    reader.is = png_create_read_struct(PNG_LIBPNG_VER_STRING, nullptr, png_jump_back, png_say_nothing);
    if (reader.is != nullptr) reader.about = png_create_info_struct(reader.is);
    Source source{chunks.picture};
    std::vector<png_bytep> rows(made.height);
    if (reader.about == nullptr || !decode(reader, source, made.kept, rows)) return damaged("its data are damaged");
    lay_on_white(made.kept);
    made.kept = without_colour(scaled_down(made.kept, most_kept, most_kept));
    return made;
}

} // namespace benchleaf::pictures
