#include "fonts/fonts.h"

#include "base/text.h"
#include "fonts/faces.h"

#include <array>

namespace benchleaf::fonts {

std::string_view name(Face face) {
    switch (face) {
    case Face::regular:
        return "regular";
    case Face::bold:
        return "bold";
    case Face::italic:
        return "italic";
    }
    return "";
}

std::int32_t advance(Face face, char32_t character) {
    const std::size_t block = character / block_size;
    if (block >= block_count) return 0;
    return faces[static_cast<std::size_t>(face)].advances[block_of[block]][character % block_size];
}

bool covers(char32_t character) {
    return advance(Face::regular, character) != 0;
}

std::int64_t width(Face face, std::string_view utf8) {
    std::int64_t sum = 0;
    for (std::size_t at = 0; at < utf8.size();) {
        const auto byte = static_cast<unsigned char>(utf8[at]);
        if (byte < 0x80) {
            sum += advance(face, byte);
            ++at;
            continue;
        }
        const base::CodePoint point = base::code_point_at(utf8, at);
        sum += advance(face, point.value);
        at += point.bytes;
    }
    return sum;
}

const Heights& heights() {
    return face_heights;
}

std::size_t first_not_covered(std::string_view utf8) {
    for (std::size_t at = 0; at < utf8.size();) {
        const base::CodePoint point = base::code_point_at(utf8, at);
        if (!covers(point.value)) return at;
        at += point.bytes;
    }
    return std::string_view::npos;
}

namespace {

struct Blocks {
    char32_t first;
    char32_t last;
    std::string_view name;
};

// From Blocks.txt of the Unicode Standard, neighbours of one script taken together.
constexpr std::array script_blocks = std::to_array<Blocks>({
    {0x0000, 0x001F, "control characters"},
    {0x007F, 0x009F, "control characters"},
    {0x00AD, 0x00AD, "invisible characters"},
    {0x0000, 0x024F, "Latin letters that the faces lack"},
    {0x0250, 0x02AF, "phonetic signs"},
    {0x02B0, 0x02FF, "modifier letters"},
    {0x0300, 0x036F, "accents that join no letter"},
    {0x0370, 0x03FF, "Greek letters that the faces lack"},
    {0x0400, 0x052F, "Cyrillic letters that the faces lack"},
    {0x0530, 0x058F, "Armenian"},
    {0x0590, 0x05FF, "Hebrew"},
    {0x0600, 0x06FF, "Arabic"},
    {0x0700, 0x074F, "Syriac"},
    {0x0750, 0x077F, "Arabic"},
    {0x0780, 0x07BF, "Thaana"},
    {0x07C0, 0x07FF, "NKo"},
    {0x0800, 0x083F, "Samaritan"},
    {0x0840, 0x086F, "Mandaic or Syriac"},
    {0x0870, 0x08FF, "Arabic"},
    {0x0900, 0x097F, "Devanagari"},
    {0x0980, 0x09FF, "Bengali"},
    {0x0A00, 0x0A7F, "Gurmukhi"},
    {0x0A80, 0x0AFF, "Gujarati"},
    {0x0B00, 0x0B7F, "Odia"},
    {0x0B80, 0x0BFF, "Tamil"},
    {0x0C00, 0x0C7F, "Telugu"},
    {0x0C80, 0x0CFF, "Kannada"},
    {0x0D00, 0x0D7F, "Malayalam"},
    {0x0D80, 0x0DFF, "Sinhala"},
    {0x0E00, 0x0E7F, "Thai"},
    {0x0E80, 0x0EFF, "Lao"},
    {0x0F00, 0x0FFF, "Tibetan"},
    {0x1000, 0x109F, "Myanmar"},
    {0x10A0, 0x10FF, "Georgian"},
    {0x1100, 0x11FF, "Chinese, Japanese or Korean"},
    {0x1200, 0x139F, "Ethiopic"},
    {0x13A0, 0x13FF, "Cherokee"},
    {0x1400, 0x167F, "Canadian syllabics"},
    {0x1680, 0x169F, "Ogham"},
    {0x16A0, 0x16FF, "Runic"},
    {0x1700, 0x177F, "a Philippine script"},
    {0x1780, 0x17FF, "Khmer"},
    {0x1800, 0x18AF, "Mongolian"},
    {0x1AB0, 0x1AFF, "accents that join no letter"},
    {0x1C80, 0x1C8F, "Cyrillic letters that the faces lack"},
    {0x1C90, 0x1CBF, "Georgian"},
    {0x1CD0, 0x1CFF, "Vedic signs"},
    {0x1D00, 0x1DBF, "phonetic signs"},
    {0x1DC0, 0x1DFF, "accents that join no letter"},
    {0x1E00, 0x1EFF, "Latin letters that the faces lack"},
    {0x1F00, 0x1FFF, "Greek letters that the faces lack"},
    {0x200B, 0x200F, "invisible characters"},
    {0x2028, 0x202E, "invisible characters"},
    {0x2060, 0x206F, "invisible characters"},
    {0x2000, 0x206F, "punctuation that the faces lack"},
    {0x20A0, 0x20CF, "currency signs that the faces lack"},
    {0x20D0, 0x20FF, "accents that join no letter"},
    {0x2190, 0x21FF, "arrows that the faces lack"},
    {0x2200, 0x22FF, "mathematical signs that the faces lack"},
    {0x2500, 0x257F, "box-drawing signs"},
    {0x2600, 0x27BF, "pictographs"},
    {0x2C60, 0x2C7F, "Latin letters that the faces lack"},
    {0x2D00, 0x2D2F, "Georgian"},
    {0x2D30, 0x2D7F, "Tifinagh"},
    {0x2D80, 0x2DDF, "Ethiopic"},
    {0x2DE0, 0x2DFF, "Cyrillic letters that the faces lack"},
    {0x2E80, 0x2FDF, "Chinese, Japanese or Korean"},
    {0x2FF0, 0x303F, "Chinese, Japanese or Korean"},
    {0x3040, 0x30FF, "Japanese"},
    {0x3100, 0x312F, "Chinese, Japanese or Korean"},
    {0x3130, 0x318F, "Korean"},
    {0x3190, 0x31EF, "Chinese, Japanese or Korean"},
    {0x31F0, 0x31FF, "Japanese"},
    {0x3200, 0x9FFF, "Chinese, Japanese or Korean"},
    {0xA000, 0xA4CF, "Yi"},
    {0xA640, 0xA69F, "Cyrillic letters that the faces lack"},
    {0xA720, 0xA7FF, "Latin letters that the faces lack"},
    {0xA8E0, 0xA8FF, "Devanagari"},
    {0xA960, 0xA97F, "Korean"},
    {0xA980, 0xA9DF, "Javanese"},
    {0xA9E0, 0xA9FF, "Myanmar"},
    {0xAA60, 0xAA7F, "Myanmar"},
    {0xAB00, 0xAB2F, "Ethiopic"},
    {0xAB30, 0xAB6F, "Latin letters that the faces lack"},
    {0xAC00, 0xD7FF, "Korean"},
    {0xE000, 0xF8FF, "private characters"},
    {0xF900, 0xFAFF, "Chinese, Japanese or Korean"},
    {0xFB00, 0xFB06, "Latin letters that the faces lack"},
    {0xFB13, 0xFB17, "Armenian"},
    {0xFB1D, 0xFB4F, "Hebrew"},
    {0xFB50, 0xFDFF, "Arabic"},
    {0xFE00, 0xFE0F, "invisible characters"},
    {0xFE20, 0xFE2F, "accents that join no letter"},
    {0xFE30, 0xFE4F, "Chinese, Japanese or Korean"},
    {0xFEFF, 0xFEFF, "invisible characters"},
    {0xFE70, 0xFEFE, "Arabic"},
    {0xFF00, 0xFFEF, "Chinese, Japanese or Korean"},
    {0x1B000, 0x1B16F, "Japanese"},
    {0x1D400, 0x1D7FF, "mathematical letters"},
    {0x1EE00, 0x1EEFF, "Arabic"},
    {0x1F000, 0x1FAFF, "emoji"},
    {0x20000, 0x3FFFF, "Chinese, Japanese or Korean"},
    {0xE0000, 0xE0FFF, "invisible characters"},
    {0xF0000, 0x10FFFF, "private characters"},
});

} // namespace

std::string_view script_of(char32_t character) {
    for (const Blocks& blocks : script_blocks)
        if (blocks.first <= character && character <= blocks.last) return blocks.name; // the narrower stands first
    return "other signs";
}

Kinds kinds_of(char32_t character) {
    const std::size_t block = character / block_size;
    return block < block_count ? kinds[block_of[block]][character % block_size] : Kinds{};
}

const Part& part(Face face, Kinds asked) {
    for (const FaceData::PartData& each : faces[static_cast<std::size_t>(face)].parts)
        if ((asked & ~each.has) == 0) return each.part;
    return whole(face);
}

const Part& whole(Face face) {
    return faces[static_cast<std::size_t>(face)].parts.back().part;
}

} // namespace benchleaf::fonts
