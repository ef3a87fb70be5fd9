// Photos for tests, by libjpeg's writer, with what a camera notes of how it was held.
#pragma once

#include <cstdio>
#include <jpeglib.h>

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <vector>

namespace benchleaf::cases {

struct Jpeg {
    bool grey = false;
    bool progressive = false;
    bool cmyk = false;
    int orientation = 0; // none is written
    bool little = false;
};

// Dark at the top left, light elsewhere.
inline std::string jpeg(std::uint32_t width, std::uint32_t height, const Jpeg& how = {}) {
    jpeg_compress_struct to{};
    jpeg_error_mgr errors{};
    to.err = jpeg_std_error(&errors);
    jpeg_create_compress(&to);
    unsigned char* data = nullptr;
    unsigned long size = 0;
    jpeg_mem_dest(&to, &data, &size);
    to.image_width = width;
    to.image_height = height;
    to.input_components = how.cmyk ? 4 : how.grey ? 1 : 3;
    to.in_color_space = how.cmyk ? JCS_CMYK : how.grey ? JCS_GRAYSCALE : JCS_RGB;
    jpeg_set_defaults(&to);
    jpeg_set_quality(&to, 90, TRUE);
    if (how.progressive) jpeg_simple_progression(&to);
    jpeg_start_compress(&to, TRUE);
    if (how.orientation > 0) {
        const auto two = [&](int value) {
            std::string bytes{static_cast<char>(value / 256), static_cast<char>(value % 256)};
            if (how.little) std::reverse(bytes.begin(), bytes.end());
            return bytes;
        };
        const auto four = [&](int value) { return how.little ? two(value) + two(0) : two(0) + two(value); };
        std::string exif("Exif\0\0", 6);
        exif += (how.little ? "II" : "MM") + two(42) + four(8) + two(2);
        exif += two(0x0100) + two(4) + four(1) + four(static_cast<int>(width));
        exif += two(0x0112) + two(3) + four(1) + two(how.orientation) + two(0) + four(0);
        jpeg_write_marker(&to, JPEG_APP0 + 1, reinterpret_cast<const JOCTET*>(exif.data()),
                          static_cast<unsigned>(exif.size()));
    }
    std::vector<unsigned char> line(std::size_t{width} * static_cast<std::size_t>(to.input_components));
    while (to.next_scanline < height) {
        for (std::uint32_t x = 0; x < width; ++x)
            for (int c = 0; c < to.input_components; ++c)
                line[std::size_t{x} * static_cast<std::size_t>(to.input_components) + static_cast<std::size_t>(c)] =
                    x < width / 4 && to.next_scanline < height / 4 ? 20 : static_cast<unsigned char>(200 + 20 * c);
        unsigned char* row = line.data();
        jpeg_write_scanlines(&to, &row, 1);
    }
    jpeg_finish_compress(&to);
    std::string bytes(reinterpret_cast<const char*>(data), size);
    jpeg_destroy_compress(&to);
    std::free(data); // NOLINT: libjpeg takes it with malloc
    return bytes;
}

} // namespace benchleaf::cases
