// The three faces that a card is set in, embedded in the program, with what a layout needs to know of them.
//
// The faces are Noto Sans Regular, Bold and Italic (SIL Open Font License), cut down at build time by make_fonts.py to
// Latin, Greek, Cyrillic and the trade's symbols; every composite glyph is flattened, because the PDF library drops
// parts of composite letters. Kerning and ligatures are not kept: the width of a text is the sum of its advances, here
// and in the printed page alike.
//
// All lengths are in font units; `units_per_em` of them make the text's size. A text of size s (any unit of length) is
// therefore `width(face, text) * s / units_per_em` wide.
//
// Control characters, tabs and line ends are not covered: what breaks lines does so before it asks for a width. The
// soft hyphen and other invisible characters are not covered either. U+00A0 and U+202F (spaces that do not break) are.
#pragma once

#include <cstdint>
#include <span>
#include <string_view>

namespace benchleaf::fonts {

enum class Face : std::uint8_t { regular, bold, italic };
inline constexpr int face_count = 3;

std::string_view name(Face face); // "regular", "bold", "italic"

inline constexpr std::int32_t units_per_em = 1000;

// How far the pen moves after the character; 0 for one that is not covered. All faces cover the same characters.
std::int32_t advance(Face face, char32_t character);
bool covers(char32_t character);

// The sum of the advances of a text in valid UTF-8.
std::int64_t width(Face face, std::string_view utf8);

// Heights over the baseline, positive upwards: the highest and the lowest that a line of text needs (the same for the
// three faces, so that mixed lines sit alike), the top of a flat capital and of a flat small letter.
struct Heights {
    std::int32_t ascender;
    std::int32_t descender; // negative
    std::int32_t cap_height;
    std::int32_t x_height;
};
const Heights& heights();

// The byte offset of the first character of a text in valid UTF-8 that the faces lack; npos when there is none.
std::size_t first_not_covered(std::string_view utf8);

// For a message about a character that is not covered: what it belongs to, in English ("Arabic", "Hebrew", "Thai",
// "Devanagari", "Chinese, Japanese or Korean", "emoji", "control characters", …), or "other signs" where nothing better
// is known. From the blocks of the Unicode Standard.
std::string_view script_of(char32_t character);

// The whole face as a TrueType file. It stays where it is as long as the program runs.
std::span<const std::uint8_t> bytes(Face face);

// For text that is not known when the page is made: the regular face whole, packed with zlib when the program was built, and
// likewise its glyph of each character from 0 to `last_character()`, two bytes each, the high one first, 0 where there is none.
std::span<const std::uint8_t> regular_packed();
std::span<const std::uint8_t> glyphs_packed();
char32_t last_character();

} // namespace benchleaf::fonts
