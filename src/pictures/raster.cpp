#include "pictures/raster.h"

#include <algorithm>
#include <utility>
#include <vector>

namespace benchleaf::pictures {

namespace {

// Which pixels of the old line a pixel of the new one covers, with the share of the first and the last, in units of the new length: all shares
// of one pixel add up to the old length.
struct Cover {
    std::uint32_t first = 0;
    std::uint32_t last = 0;
    std::uint32_t first_share = 0;
    std::uint32_t last_share = 0;
};

std::vector<Cover> covers(std::uint32_t from, std::uint32_t to) {
    std::vector<Cover> made(to);
    for (std::uint32_t i = 0; i < to; ++i) {
        const std::uint64_t begin = std::uint64_t{i} * from;
        const std::uint64_t end = begin + from;
        Cover& cover = made[i];
        cover.first = static_cast<std::uint32_t>(begin / to);
        cover.last = static_cast<std::uint32_t>((end - 1) / to);
        cover.first_share = static_cast<std::uint32_t>(std::min<std::uint64_t>(to - begin % to, end - begin));
        cover.last_share = static_cast<std::uint32_t>(end - std::uint64_t{cover.last} * to);
        if (cover.first == cover.last) cover.last_share = 0;
    }
    return made;
}

} // namespace

Raster scaled_down(const Raster& from, std::uint32_t most_width, std::uint32_t most_height) {
    most_width = std::max(most_width, 1U);
    most_height = std::max(most_height, 1U);
    if (from.width <= most_width && from.height <= most_height) return from;
    Raster to;
    to.channels = from.channels;
    // The tighter bound holds; the other side follows, rounded.
    if (std::uint64_t{from.width} * most_height >= std::uint64_t{from.height} * most_width) {
        to.width = most_width;
        to.height = static_cast<std::uint32_t>((std::uint64_t{from.height} * most_width + from.width / 2) / from.width);
    } else {
        to.height = most_height;
        to.width =
            static_cast<std::uint32_t>((std::uint64_t{from.width} * most_height + from.height / 2) / from.height);
    }
    to.width = std::max(to.width, 1U);
    to.height = std::max(to.height, 1U);
    to.pixels.resize(std::size_t{to.width} * to.height * to.channels);
    const std::vector<Cover> across = covers(from.width, to.width);
    const std::vector<Cover> down = covers(from.height, to.height);
    const std::size_t samples = std::size_t{to.width} * to.channels;
    std::vector<std::uint32_t> line(samples);
    std::vector<std::uint64_t> sum(samples);
    const std::uint64_t whole = std::uint64_t{from.width} * from.height;
    const std::size_t stride = std::size_t{from.width} * from.channels;
    std::uint32_t ready = from.height; // the line of the old picture that `line` holds
    for (std::uint32_t y = 0; y < to.height; ++y) {
        std::fill(sum.begin(), sum.end(), 0);
        for (std::uint32_t row = down[y].first; row <= down[y].last; ++row) {
            if (row != ready) {
                const auto* pixels = reinterpret_cast<const unsigned char*>(from.pixels.data()) + row * stride;
                for (std::uint32_t x = 0; x < to.width; ++x) {
                    for (std::uint32_t c = 0; c < to.channels; ++c) {
                        const auto at = [&](std::uint32_t pixel) {
                            return std::uint32_t{pixels[std::size_t{pixel} * from.channels + c]};
                        };
                        std::uint32_t inner = 0;
                        for (std::uint32_t i = across[x].first + 1; i < across[x].last; ++i) inner += at(i);
                        line[std::size_t{x} * to.channels + c] = at(across[x].first) * across[x].first_share +
                                                                 inner * to.width +
                                                                 at(across[x].last) * across[x].last_share;
                    }
                }
                ready = row;
            }
            const std::uint64_t share = row == down[y].first  ? down[y].first_share
                                        : row == down[y].last ? down[y].last_share
                                                              : to.height;
            for (std::size_t i = 0; i < samples; ++i) sum[i] += line[i] * share;
        }
        for (std::size_t i = 0; i < samples; ++i)
            to.pixels[y * samples + i] = static_cast<char>(static_cast<unsigned char>((sum[i] + whole / 2) / whole));
    }
    return to;
}

Raster turned(const Raster& from, int orientation) {
    if (orientation < 2 || orientation > 8) return from;
    const bool on_its_side = orientation >= 5;
    Raster to;
    to.channels = from.channels;
    to.width = on_its_side ? from.height : from.width;
    to.height = on_its_side ? from.width : from.height;
    to.pixels.resize(from.pixels.size());
    for (std::uint32_t y = 0; y < to.height; ++y) {
        for (std::uint32_t x = 0; x < to.width; ++x) {
            std::uint32_t column = on_its_side ? y : x;
            std::uint32_t row = on_its_side ? x : y;
            if (orientation == 2 || orientation == 3 || orientation == 7 || orientation == 8)
                column = from.width - 1 - column;
            if (orientation == 3 || orientation == 4 || orientation == 6 || orientation == 7)
                row = from.height - 1 - row;
            const std::size_t source = (std::size_t{row} * from.width + column) * from.channels;
            std::copy_n(from.pixels.begin() + static_cast<std::ptrdiff_t>(source), from.channels,
                        to.pixels.begin() + static_cast<std::ptrdiff_t>((std::size_t{y} * to.width + x) * to.channels));
        }
    }
    return to;
}

Raster without_colour(Raster from) {
    if (from.channels != 3) return from;
    for (std::size_t i = 0; i + 2 < from.pixels.size(); i += 3)
        if (from.pixels[i] != from.pixels[i + 1] || from.pixels[i] != from.pixels[i + 2]) return from;
    for (std::size_t i = 0; i < from.pixels.size() / 3; ++i) from.pixels[i] = from.pixels[3 * i];
    from.pixels.resize(from.pixels.size() / 3);
    from.channels = 1;
    return from;
}

} // namespace benchleaf::pictures
