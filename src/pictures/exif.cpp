#include "pictures/jpeg.h"

namespace benchleaf::pictures {

int orientation_in(std::string_view app1) {
    constexpr std::string_view head("Exif\0\0", 6);
    if (!app1.starts_with(head)) return 1;
    const std::string_view tiff = app1.substr(head.size());
    const bool little = tiff.starts_with("II");
    if (!little && !tiff.starts_with("MM")) return 1;
    const auto number = [&](std::size_t at, std::size_t bytes) -> std::size_t {
        if (at > tiff.size() || tiff.size() - at < bytes) return 0;
        std::size_t value = 0;
        for (std::size_t i = 0; i < bytes; ++i)
            value = value << 8U | static_cast<unsigned char>(tiff[at + (little ? bytes - 1 - i : i)]);
        return value;
    };
    if (number(2, 2) != 42) return 1;
    const std::size_t directory = number(4, 4);
    const std::size_t entries = number(directory, 2); // at most 65535, each 12 bytes
    for (std::size_t i = 0; i < entries; ++i) {
        const std::size_t at = directory + 2 + 12 * i;
        if (at >= tiff.size()) break;
        if (number(at, 2) != 0x0112 || number(at + 2, 2) != 3) continue; // Orientation, as SHORT
        const std::size_t value = number(at + 8, 2);
        return value >= 1 && value <= 8 ? static_cast<int>(value) : 1;
    }
    return 1;
}

} // namespace benchleaf::pictures
