// Which byte stands for which character. A font of a PDF is written with one byte a character, which is smaller and some
// times faster than libharu's fonts of two bytes; so the characters that a document uses in a face are dealt out to the
// codes of as few encodings as will hold them: ASCII under its own codes in all of them, and 128 others in each from code
// 128 on, in the order of their code points. Nearly every document needs one encoding a face.
#pragma once

#include "base/result.h"
#include "fonts/fonts.h"
#include "pages/pages.h"

#include <array>
#include <bitset>
#include <cstdint>
#include <string>
#include <vector>

namespace benchleaf::pdf {

inline constexpr unsigned first_free_code = 128;
inline constexpr unsigned codes_each = 128;

struct Encoding {
    std::vector<char32_t> characters; // of the codes from first_free_code on
};

struct FaceEncodings {
    std::bitset<128> ascii;           // which of them are used
    std::vector<Encoding> encodings;  // none: the face is not used
    std::vector<std::uint16_t> place; // of each character beyond ASCII: 1 + encoding * codes_each + code; 0: not used

    bool used() const { return !encodings.empty(); }
};

struct Encodings {
    std::array<FaceEncodings, fonts::face_count> faces;
};

// Walks all boxes once, and refuses pages that are not as pages.h promises.
base::Result<Encodings> encode(const pages::Pages& pages);

} // namespace benchleaf::pdf
