// The three faces that a card is set in, embedded in the program, with what a layout and a PDF need to know of them.
//
// The faces are Noto Sans Regular, Bold and Italic (SIL Open Font License), cut down at build time by make_fonts.py to
// Latin, Greek, Cyrillic and the trade's symbols; every composite glyph is flattened. Kerning and ligatures are not kept: the width of a text is the sum of its advances, here
// and in the printed page alike.
//
// All lengths are in font units; `units_per_em` of them make the text's size. A text of size s (any unit of length) is
// therefore `width(face, text) * s / units_per_em` wide.
//
// Control characters, tabs and line ends are not covered: what breaks lines does so before it asks for a width. The
// soft hyphen and other invisible characters are not covered either. U+00A0 and U+202F (spaces that do not break) are.
#pragma once

#include <cstddef>
#include <cstdint>
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

// What a text asks of a face, as bits: none for what a card in plain English prints; one each for other signs and the accented
// letters of western Europe, for the rest of Latin, for Greek, for Cyrillic. Of a character that is covered.
using Kinds = std::uint8_t;
Kinds kinds_of(char32_t character);

// A face as a PDF takes it in, or the part of it that has some kinds of characters. All of it was made and packed with zlib when
// the program was built, and stays where it is as long as the program runs. The code of a character, of two bytes, is its number
// in Unicode: so it needs no table of the document's own, and programs that look a letter up in the font's own cmap find the
// same glyph as those that read the PDF's map.
struct Part {
    std::string_view name;       // "BenchleafSans-Bold"; of less than the whole face with six capitals before it
    std::string_view descriptor; // entries of a font descriptor (ISO 32000-1, 9.8), all but the name and the file
    std::string_view widths;     // of a W array (9.7.4.3), without its brackets
    std::string_view file;       // TrueType, packed
    std::size_t file_size = 0;   // unpacked
    std::string_view glyphs;     // CIDToGIDMap (9.7.4.2), packed
    std::string_view to_unicode; // the map (9.10.3), packed
};

// The least part that has all these.
const Part& part(Face face, Kinds kinds);
const Part& whole(Face face);

} // namespace benchleaf::fonts
