// Pictures for tests, byte by byte as ISO/IEC 15948 says, without the library that reads them: all sorts of colour and depth, and whatever is
// wrong on purpose.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>

namespace benchleaf::cases {

inline void put_four(std::string& to, std::uint32_t value) {
    for (int shift = 24; shift >= 0; shift -= 8) to += static_cast<char>(value >> static_cast<unsigned>(shift) & 0xFFU);
}

inline std::uint32_t crc_of(std::string_view bytes) { // annex D
    std::uint32_t crc = 0xFFFFFFFFU;
    for (const char byte : bytes) {
        crc ^= static_cast<unsigned char>(byte);
        for (int bit = 0; bit < 8; ++bit) crc = (crc & 1U) != 0 ? 0xEDB88320U ^ (crc >> 1U) : crc >> 1U;
    }
    return ~crc;
}

inline std::string chunk(std::string_view type, std::string_view data) {
    std::string made;
    put_four(made, static_cast<std::uint32_t>(data.size()));
    const std::string checked = std::string(type) + std::string(data);
    made += checked;
    put_four(made, crc_of(checked));
    return made;
}

// As zlib would have it, but not packed (RFC 1950, RFC 1951, 3.2.4).
inline std::string stored(std::string_view data) {
    std::string made = "\x78\x01";
    std::uint32_t a = 1, b = 0;
    for (const char byte : data) {
        a = (a + static_cast<unsigned char>(byte)) % 65521;
        b = (b + a) % 65521;
    }
    do {
        const std::string_view part = data.substr(0, 0xFFFF);
        data.remove_prefix(part.size());
        made += static_cast<char>(data.empty() ? 1 : 0);
        for (const std::size_t length : {part.size(), ~part.size()}) {
            made += static_cast<char>(length & 0xFFU);
            made += static_cast<char>(length >> 8U & 0xFFU);
        }
        made += part;
    } while (!data.empty());
    put_four(made, b << 16U | a);
    return made;
}

inline std::string ihdr(std::uint32_t width, std::uint32_t height, int colour, int depth, int interlaced = 0) {
    std::string data;
    put_four(data, width);
    put_four(data, height);
    data += {static_cast<char>(depth), static_cast<char>(colour), 0, 0, static_cast<char>(interlaced)};
    return chunk("IHDR", data);
}

inline const std::string png_start = "\x89PNG\r\n\x1A\n";

// `sample(x, y, channel)`: 0 to 255, cut or spread to the depth. `colour`: 0 grey, 2 red green blue, 3 palette, 4 grey and alpha, 6 red green
// blue and alpha. Of a palette, entry n is grey n at 8 bits, or spread likewise. `more` stands between head and data.
using Sample = std::function<int(std::uint32_t, std::uint32_t, int)>;

inline std::string png(std::uint32_t width, std::uint32_t height, int colour, int depth, const Sample& sample,
                       const std::string& more = {}, bool interlaced = false) {
    const int channels = colour == 2 ? 3 : colour == 4 ? 2 : colour == 6 ? 4 : 1;
    std::string made = png_start + ihdr(width, height, colour, depth, interlaced ? 1 : 0);
    if (colour == 3) {
        std::string palette;
        const int entries = 1 << depth;
        for (int i = 0; i < entries; ++i) palette.append(3, static_cast<char>(i * 255 / (entries - 1)));
        made += chunk("PLTE", palette);
    }
    made += more;
    std::string rows;
    const auto pass = [&](std::uint32_t x0, std::uint32_t y0, std::uint32_t dx, std::uint32_t dy) {
        if (x0 >= width) return;
        for (std::uint32_t y = y0; y < height; y += dy) {
            rows += '\0'; // no filter
            unsigned bits = 0;
            unsigned held = 0;
            for (std::uint32_t x = x0; x < width; x += dx) {
                for (int c = 0; c < channels; ++c) {
                    const int value = sample(x, y, c);
                    if (depth == 16) {
                        rows.append(2, static_cast<char>(value));
                        continue;
                    }
                    held = held << static_cast<unsigned>(depth) |
                           static_cast<unsigned>(value) >> static_cast<unsigned>(8 - depth);
                    bits += static_cast<unsigned>(depth);
                    if (bits < 8) continue;
                    rows += static_cast<char>(held);
                    bits = held = 0;
                }
            }
            if (bits > 0) rows += static_cast<char>(held << (8U - bits));
        }
    };
    if (interlaced) { // 8.2
        static constexpr std::uint32_t passes[][4] = {{0, 0, 8, 8}, {4, 0, 8, 8}, {0, 4, 4, 8}, {2, 0, 4, 4},
                                                      {0, 2, 2, 4}, {1, 0, 2, 2}, {0, 1, 1, 2}};
        for (const auto& p : passes) pass(p[0], p[1], p[2], p[3]);
    } else {
        pass(0, 0, 1, 1);
    }
    return made + chunk("IDAT", stored(rows)) + chunk("IEND", "");
}

inline int checkered(std::uint32_t x, std::uint32_t y, int) {
    return (x / 20 + y / 20) % 2 == 0 ? 255 : 0;
}

} // namespace benchleaf::cases
