"""check_pdf_glyphs.py FILE.pdf [LETTERS]: for every code shown on the pages, looks the character up in the font's ToUnicode map and
compares the embedded glyph's outline and the width in the PDF with those of Debian's original font. The glyph is found as
ISO 32000-1, 9.6.6.4 tells a reader to: the code's name in the font's encoding, its character, the (3,1) cmap. Ends with
"N glyphs, M damaged"; status 1 when any is damaged, when a used character has no glyph, or when there are none. Each of LETTERS
has to be shown in the regular and in the bold face."""
import io
import re
import sys

import pikepdf
from fontTools.agl import toUnicode
from fontTools.encodings.StandardEncoding import StandardEncoding
from fontTools.ttLib import TTFont

sys.dont_write_bytecode = True  # nothing generated in the source tree
from check_font import ROOT, SAME, SOURCES, differ, outline


def names_of(font):
    """The name that each code has: the encoding's differences over WinAnsi, which in ASCII is the standard encoding but for
    the two straight quotes."""
    names = {code: StandardEncoding[code] for code in range(32, 127)}
    names[0x27], names[0x60] = "quotesingle", "grave"
    assert font.Encoding.BaseEncoding == "/WinAnsiEncoding"
    code = None
    for item in font.Encoding.get("/Differences", []):
        if isinstance(item, pikepdf.Name):
            names[code] = str(item)[1:]
            code += 1
        else:
            code = int(item)
    return names


def to_unicode_of(font):
    text = font.ToUnicode.read_bytes().decode("ascii")
    return {int(code, 16): int(char, 16) for code, char in re.findall(r"<([0-9A-F]{2})> <([0-9A-F]{4})>", text)}


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
                shown.setdefault(current.objgen, set()).update(bytes(operands[0]))
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
        embedded = TTFont(io.BytesIO(font.FontDescriptor.FontFile2.read_bytes()))
        cmap = embedded["cmap"].getcmap(3, 1).cmap
        names, characters = names_of(font), to_unicode_of(font)
        first, widths = int(font.FirstChar), [int(w) for w in font.Widths]
        if len(widths) != int(font.LastChar) - first + 1:
            print(face, "widths and codes differ in number")
            damaged += 1
        for code in sorted(codes):
            glyphs += 1
            character = characters.get(code)
            named = toUnicode(names[code])
            if character is None or named != chr(character):
                print(f"{face} code {code}: named {names[code]}, maps to {character}")
                damaged += 1
                continue
            seen.setdefault(face, set()).add(character)
            looked = SAME.get(character, character)
            which = 0 if looked in originals[face][0].getBestCmap() else 1
            original = originals[face][which]
            scale, most = 1000 / original["head"].unitsPerEm, 0.5001 * which
            source = original.getBestCmap()[looked]
            if character not in cmap:
                print(f"{face} U+{character:04X} has no glyph")
                damaged += 1
            elif differ(outline(embedded, cmap[character]), outline(original, source), scale, most):
                print(f"{face} U+{character:04X} is damaged")
                damaged += 1
            elif abs(widths[code - first] - original["hmtx"][source][0] * scale) > most:
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
