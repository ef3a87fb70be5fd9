// What make_fonts.py generates, for fonts.cpp alone: the table of advances in rows of 64 characters, and the fonts' bytes.
// `block_of[c / 64]` is the row of a character's advance, row 0 being that of the blocks with no character; an advance of 0
// means that the character is not covered.
#pragma once

#include "fonts/fonts.h"

#include <cstddef>
#include <cstdint>

namespace benchleaf::fonts {

inline constexpr std::size_t block_size = 64;

struct FaceData {
    const std::uint16_t (*advances)[block_size];
    const char* file; // a TrueType file, and one more byte of 0
    std::size_t size;
};

struct Packed {
    struct Bytes {
        const char* data;
        std::size_t size;
    };
    Bytes regular;
    Bytes glyphs;
    char32_t last_character;
};

extern const Heights face_heights;
extern const std::size_t block_count;
extern const std::uint8_t block_of[];
extern const FaceData faces[face_count];
extern const Packed faces_packed;

} // namespace benchleaf::fonts
