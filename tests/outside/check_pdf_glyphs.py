"""check_pdf_glyphs.py FILE.pdf [LETTERS]: for every code shown on the pages, looks the character up in the font's ToUnicode map and
compares the embedded glyph's outline and the width in the PDF with those of Debian's original font. The glyph is found as
ISO 32000-1, 9.7.4.2 tells a reader to: the code's place in the font's CIDToGIDMap; the font's own cmap has to give the same. Ends
with "N glyphs, M damaged"; status 1 when any is damaged, when a used character has no glyph, or when there are none. Each of
LETTERS has to be shown in the regular and in the bold face."""
import io
import re
import sys

import pikepdf
from fontTools.ttLib import TTFont

sys.dont_write_bytecode = True  # nothing generated in the source tree
from check_font import ROOT, SAME, SOURCES, differ, outline


def to_unicode_of(font):
    characters = {}
    text = font.ToUnicode.read_bytes().decode("ascii")
    for first, last, to in re.findall(r"<([0-9A-F]{4})> <([0-9A-F]{4})> <([0-9A-F]{4})>", text):
        for code in range(int(first, 16), int(last, 16) + 1):
            characters[code] = int(to, 16) + code - int(first, 16)
    return characters


def widths_of(inner):
    table, widths = list(inner.W), {}
    for first, row in zip(table[::2], table[1::2]):
        widths.update({int(first) + i: int(width) for i, width in enumerate(row)})
    return widths


def main():
    pdf = pikepdf.open(sys.argv[1])
    shown = {}  # object number of a font: codes
    fonts = {}
    for page in pdf.pages:
        current = None
        for operands, operator in pikepdf.parse_content_stream(page):
            if str(operator) == "Tf":
                current = page.Resources.Font[operands[0]]
                fonts[current.objgen] = current
            elif str(operator) == "Tj":
                codes = bytes(operands[0])
                shown.setdefault(current.objgen, set()).update(zip(codes[::2], codes[1::2], strict=True))
            elif str(operator) in ("TJ", "'", '"'):
                sys.exit("text is shown in a way that this check does not read")
    glyphs = damaged = 0
    seen = {"regular": set(), "bold": set()}
    originals = {}
    for key, codes in shown.items():
        font = fonts[key]
        face = str(font.BaseFont).split("-")[1].lower()
        if face not in originals:
            originals[face] = [TTFont(ROOT + name) for name in SOURCES[face]]
        assert font.Encoding == "/Identity-H"
        [inner] = font.DescendantFonts
        embedded = TTFont(io.BytesIO(inner.FontDescriptor.FontFile2.read_bytes()))
        assert int(inner.FontDescriptor.FontFile2.Length1) == len(inner.FontDescriptor.FontFile2.read_bytes())
        cmap, glyph_map = embedded["cmap"].getcmap(3, 1).cmap, inner.CIDToGIDMap.read_bytes()
        characters, widths = to_unicode_of(font), widths_of(inner)
        if set(characters) != set(cmap) or set(widths) != set(cmap):
            print(face, "widths, map and cmap have other characters")
            damaged += 1
        for code in sorted(high << 8 | low for high, low in codes):
            glyphs += 1
            character = characters.get(code)
            if character is None:
                print(f"{face} code {code} maps to no character")
                damaged += 1
                continue
            glyph = embedded.getGlyphName(int.from_bytes(glyph_map[2 * code : 2 * code + 2], "big"))
            seen.setdefault(face, set()).add(character)
            looked = SAME.get(character, character)
            which = 0 if looked in originals[face][0].getBestCmap() else 1
            original = originals[face][which]
            scale, most = 1000 / original["head"].unitsPerEm, 0.5001 * which
            source = original.getBestCmap()[looked]
            if glyph != cmap.get(character):
                print(f"{face} U+{character:04X} has no glyph, or another one in the map than in the font")
                damaged += 1
            elif differ(outline(embedded, glyph), outline(original, source), scale, most):
                print(f"{face} U+{character:04X} is damaged")
                damaged += 1
            elif abs(widths[code] - original["hmtx"][source][0] * scale) > most:
                print(f"{face} U+{character:04X} has another width")
                damaged += 1
    lacking = 0
    for letter in "".join(sys.argv[2:3]).replace(" ", ""):
        for face in ("regular", "bold"):
            if ord(letter) not in seen[face]:
                print(f"{face} does not show U+{ord(letter):04X}")
                lacking += 1
    print(f"{glyphs} glyphs, {damaged} damaged")
    sys.exit(1 if damaged or lacking or not glyphs else 0)


main()
