"""check_font.py FOLDER: compares regular.ttf, bold.ttf and italic.ttf in FOLDER, and the advances in FOLDER/advances.txt
("regular 65 639"), with Debian's fonts. Composites of the originals are taken apart by fontTools' own pen, which is not
what made the faces. Ends with "N outlines, M damaged"; status 1 when any is."""
import os
import sys

from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont

ROOT = "/usr/share/fonts/truetype/"
SOURCES = {
    "regular": ("noto/NotoSans-Regular.ttf", "dejavu/DejaVuSans.ttf"),
    "bold": ("noto/NotoSans-Bold.ttf", "dejavu/DejaVuSans-Bold.ttf"),
    "italic": ("noto/NotoSans-Italic.ttf", "dejavu/DejaVuSans.ttf"),
}
# Signs that the faces draw with another character's glyph.
SAME = {0x2126: 0x3A9, 0x212A: 0x4B, 0x212B: 0xC5, 0x2206: 0x394, 0x2219: 0xB7, 0x22C5: 0xB7, 0x2215: 0x2044}


def outline(font, glyph):
    glyphs = font.getGlyphSet()
    pen = DecomposingRecordingPen(glyphs)
    glyphs[glyph].draw(pen)
    return [(verb, [p for p in points if p is not None]) for verb, points in pen.value]


def differ(made, original, scale, most):
    if [verb for verb, _ in made] != [verb for verb, _ in original]:
        return True
    for (_, mine), (_, theirs) in zip(made, original):
        if len(mine) != len(theirs):
            return True
        if any(abs(a - b * scale) > most for p, q in zip(mine, theirs) for a, b in zip(p, q)):
            return True
    return False


def main():
    folder = sys.argv[1]
    advances = {}
    for line in open(os.path.join(folder, "advances.txt")):
        face, character, advance = line.split()
        advances.setdefault(face, {})[int(character)] = int(advance)
    outlines = damaged = 0
    for face, (noto, dejavu) in SOURCES.items():
        made = TTFont(os.path.join(folder, face + ".ttf"))
        originals = [TTFont(ROOT + noto), TTFont(ROOT + dejavu)]
        cmaps = [font.getBestCmap() for font in originals]
        if set(made.getBestCmap()) != set(advances[face]):
            print(face, "the font's characters are not those of the table")
            damaged += 1
        if any(made["glyf"][g].isComposite() for g in made.getGlyphOrder()):
            print(face, "has composite glyphs")
            damaged += 1
        for character, glyph in made.getBestCmap().items():
            looked = SAME.get(character, character)
            which = 0 if looked in cmaps[0] else 1
            font, scale, most = originals[which], 1000 / originals[which]["head"].unitsPerEm, 0.5001 * which
            source = cmaps[which][looked]
            outlines += 1
            width = font["hmtx"][source][0] * scale
            if differ(outline(made, glyph), outline(font, source), scale, most) or abs(
                advances[face].get(character, -1) - width) > most or made["hmtx"][glyph][0] != advances[face][character]:
                print(f"{face} U+{character:04X} differs")
                damaged += 1
    print(f"{outlines} outlines, {damaged} damaged")
    sys.exit(1 if damaged or not outlines else 0)


if __name__ == "__main__":
    main()
