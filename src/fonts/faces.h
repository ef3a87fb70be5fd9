// What make_fonts.py generates, for fonts.cpp alone: tables in rows of 64 characters, and each face's parts.
// `block_of[c / 64]` is the row of a character's advance and of its kinds, row 0 being that of the blocks with no character; an
// advance of 0 means that the character is not covered.
#pragma once

#include "fonts/fonts.h"

#include <array>
#include <cstddef>
#include <cstdint>

namespace benchleaf::fonts {

inline constexpr std::size_t block_size = 64;
inline constexpr std::size_t part_count = 6;

struct FaceData {
    const std::uint16_t (*advances)[block_size];
    struct PartData {
        Kinds has;
        Part part;
    };
    std::array<PartData, part_count> parts; // the least first, the whole face last
};

extern const Heights face_heights;
extern const std::size_t block_count;
extern const std::uint8_t block_of[];
extern const std::uint8_t kinds[][block_size];
extern const FaceData faces[face_count];

} // namespace benchleaf::fonts
