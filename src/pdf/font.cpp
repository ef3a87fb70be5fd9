#include "pdf/font.h"

#include <fmt/format.h>

namespace benchleaf::pdf {

std::size_t add_font(const fonts::Part& part, Objects& objects) {
    const std::size_t file =
        objects.add(stream_object(fmt::format("/Length1 {}/Filter/FlateDecode", part.file_size), part.file));
    const std::size_t glyphs = objects.add(stream_object("/Filter/FlateDecode", part.glyphs));
    const std::size_t to_unicode = objects.add(stream_object("/Filter/FlateDecode", part.to_unicode));
    const std::string name = name_object(part.name);
    const std::size_t descriptor = objects.add(
        fmt::format("<</Type/FontDescriptor/FontName{}{}/FontFile2 {}>>", name, part.descriptor, reference(file)));
    const std::size_t descendant =
        objects.add(fmt::format("<</Type/Font/Subtype/CIDFontType2/BaseFont{}/CIDSystemInfo<</Registry(Adobe)"
                                "/Ordering(Identity)/Supplement 0>>/FontDescriptor {}/CIDToGIDMap {}/W[{}]>>",
                                name, reference(descriptor), reference(glyphs), part.widths));
    return objects.add(
        fmt::format("<</Type/Font/Subtype/Type0/BaseFont{}/Encoding/Identity-H/DescendantFonts[{}]/ToUnicode {}>>",
                    name, reference(descendant), reference(to_unicode)));
}

} // namespace benchleaf::pdf
