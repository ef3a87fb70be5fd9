"""Makes the embedded faces at build time: one C++ file with the tables of their advances, and of each face its parts: the whole
and some that have the characters of one script, each as a PDF takes it in, packed here and not at each print.

    make_fonts.py OUT.cpp [FOLDER]      FOLDER: where fonts are looked for, /usr/share/fonts/truetype

What is done to each face, and why:
- only the characters of `wanted()` stay, and no hinting, kerning or ligatures: the file in each card stays small, and a
  text is as wide as the sum of its advances;
- signs that Noto Sans lacks are taken from DejaVu Sans, scaled from its em to Noto's;
- every composite glyph is flattened, so that a part needs no glyphs but those of its characters;
- a part has the tables that a PDF asks for (ISO 32000-1, 9.9) and a cmap, for readers that look there;
- the faces are renamed, as their licences ask of a changed font;
- nothing depends on the clock, so that the same fonts make the same bytes.

Noto Sans: SIL Open Font License 1.1. DejaVu Sans: Bitstream Vera and Arev licences.
"""
import io
import os
import sys
import zlib


def stop(what):
    sys.exit(f"make_fonts.py: {what}")


try:
    from fontTools import subset
    from fontTools.ttLib import TTFont
    from fontTools.ttLib.tables._c_m_a_p import CmapSubtable
    from fontTools.ttLib.tables._g_l_y_f import Glyph, GlyphCoordinates
    from fontTools.ttLib.tables.ttProgram import Program
except ImportError:
    stop("benchleaf needs python3-fonttools: apt-get install python3-fonttools")

FACES = [  # face, its file, the file that lends it signs (which stand upright in italic text too)
    ("regular", "noto/NotoSans-Regular.ttf", "dejavu/DejaVuSans.ttf"),
    ("bold", "noto/NotoSans-Bold.ttf", "dejavu/DejaVuSans-Bold.ttf"),
    ("italic", "noto/NotoSans-Italic.ttf", "dejavu/DejaVuSans.ttf"),
]
STEMS = {"regular": 90, "bold": 151, "italic": 87}  # of an upright H, in 1/1000 em, measured on the outlines
PACKAGES = {"noto": "fonts-noto-core", "dejavu": "fonts-dejavu-core"}
EM = 1000
BLOCK = 64  # characters in one row of the table of advances


def wanted():
    """The characters that a card can print."""
    chars = set(range(0x20, 0x7F)) | set(range(0xA0, 0x180)) - {0xAD}  # Latin, Latin-1, Extended-A; no soft hyphen
    chars |= {0x192, *range(0x218, 0x21C), *range(0x1E80, 0x1E86), 0x1E9E, 0x1EF2, 0x1EF3}  # Romanian, Welsh, capital ß
    chars |= {*range(0x2C6, 0x2C8), *range(0x2D8, 0x2DE)}
    chars |= {*range(0x384, 0x3E2), *range(0x3F0, 0x400)} - {0x38B, 0x38D, 0x3A2}  # Greek, not Coptic
    chars |= {*range(0x400, 0x460), *range(0x48A, 0x530)}  # Cyrillic in use today
    chars |= {0x2002, 0x2003, 0x2007, 0x2009, 0x200A, 0x202F}  # spaces
    chars |= {*range(0x2010, 0x2016), *range(0x2018, 0x201F), 0x2020, 0x2021, 0x2022, 0x2026, 0x2030}
    chars |= {0x2032, 0x2033, 0x2039, 0x203A, 0x2044}
    chars |= {0x2070, *range(0x2074, 0x207F), *range(0x2080, 0x208F)}  # super- and subscripts
    chars |= {0x20AC, 0x2116, 0x2122, 0x2126, 0x212A, 0x212B, 0x2153, 0x2154, *range(0x215B, 0x215F)}
    chars |= {0x2190, 0x2191, 0x2192, 0x2193, 0x2194, 0x2195, 0x21BA, 0x21BB}  # arrows, and the two turns
    chars |= {0x2206, 0x2212, 0x2215, 0x2219, 0x221A, 0x221E, 0x2220, 0x2225, 0x2248, 0x2260, 0x2264, 0x2265}
    chars |= {0x22A5, 0x22C5, 0x2300}  # square to, dot, diameter
    return chars


# What a card in plain English prints; whatever else a text has adds a kind to what it asks of a face.
PLAIN = {*range(0x20, 0x7F), 0xA0, 0x202F, *map(ord, "°±·×½–—‘’“”…←→−≈≤≥↻")}
SIGNS, LATIN, GREEK, CYRILLIC = 1, 2, 4, 8
PARTS = [0, SIGNS, SIGNS | LATIN, SIGNS | GREEK, SIGNS | CYRILLIC, SIGNS | LATIN | GREEK | CYRILLIC]  # the least first


def kind(c):
    if c in PLAIN:
        return 0
    if 0x100 <= c < 0x250 or 0x1E00 <= c < 0x1F00:
        return LATIN
    if 0x370 <= c < 0x400:
        return GREEK
    return CYRILLIC if 0x400 <= c < 0x530 else SIGNS


# Signs that are the same as a letter or a sign beside them (canonical equals, or equal in print).
SAME_AS = {0x2126: 0x3A9, 0x212A: 0x4B, 0x212B: 0xC5, 0x2206: 0x394, 0x2219: 0xB7, 0x22C5: 0xB7, 0x2215: 0x2044}


def opened(folder, name):
    path = os.path.join(folder, name)
    if not os.path.exists(path):
        package = PACKAGES[name.split("/")[0]]
        stop(f"benchleaf needs {path}, from {package}: apt-get install {package}")
    return TTFont(path, recalcTimestamp=False)


def flat(glyf, name, scale):
    """The glyph as plain contours, scaled."""
    coordinates, ends, flags = glyf[name].getCoordinates(glyf)
    glyph = Glyph()
    glyph.numberOfContours = len(ends)
    if not ends:
        return glyph
    points = GlyphCoordinates([(x * scale, y * scale) for x, y in coordinates])
    points.toInt()
    glyph.coordinates, glyph.endPtsOfContours = points, list(ends)
    glyph.flags = bytearray(flag & 1 for flag in flags)
    glyph.program = Program()
    glyph.program.fromBytecode(b"")
    return glyph


def make(face, noto, dejavu):
    """The whole face as a TrueType file."""
    chars = wanted()
    have = noto.getBestCmap()
    lent = {c for c in chars if c not in have and c not in SAME_AS}
    lender = dejavu.getBestCmap()
    lacking = sorted(c for c in lent if c not in lender)
    if lacking:
        stop(f"the fonts lack {', '.join(f'U+{c:04X}' for c in lacking)}; a newer or older font package?")

    options = subset.Options()
    options.hinting = False
    options.layout_features = []
    options.drop_tables += ["GDEF", "GSUB", "GPOS", "kern", "gasp", "STAT", "meta", "DSIG"]
    options.notdef_outline = True
    options.glyph_names = True
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14]
    options.name_languages = [0x409]
    options.legacy_cmap = False
    options.recalc_timestamp = False
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=[c for c in chars if c in have and c not in SAME_AS])
    cutter.subset(noto)

    # The cmap, and the glyphs by the names that stand for their characters. What only a composite used is dropped below.
    cmap = {c: g for c, g in noto.getBestCmap().items()}
    glyf, hmtx = noto["glyf"], noto["hmtx"]
    scale = EM / noto["head"].unitsPerEm
    if scale != 1:
        stop(f"Noto Sans has {noto['head'].unitsPerEm} units to the em, not {EM}; this script copies its advances as they are")
    flattened = {name: flat(glyf, name, 1) for name in {".notdef", *cmap.values()}}
    metrics = {name: hmtx[name] for name in flattened}

    scale = EM / dejavu["head"].unitsPerEm
    for c in sorted(lent):
        name, source = f"uni{c:04X}", lender[c]
        glyph = flat(dejavu["glyf"], source, scale)
        glyph.recalcBounds(None)
        metrics[name] = (round(dejavu["hmtx"][source][0] * scale), glyph.xMin if glyph.numberOfContours else 0)
        flattened[name] = glyph
        cmap[c] = name
    for c, same in SAME_AS.items():
        cmap[c] = cmap[same]
    if set(cmap) != chars:
        stop("the characters of the made font are not the wanted ones")

    # In the order of the characters, so that the cmap is short; named after the least character of each.
    renamed = {".notdef": ".notdef"}
    for c in sorted(cmap):
        renamed.setdefault(cmap[c], f"uni{c:04X}")
    cmap = {c: renamed[g] for c, g in cmap.items()}
    order = [".notdef"] + sorted(set(renamed.values()) - {".notdef"})

    noto.setGlyphOrder(order)
    glyf.glyphs = {renamed[name]: glyph for name, glyph in flattened.items()}
    glyf.glyphOrder = order
    for glyph in glyf.glyphs.values():
        glyph.recalcBounds(glyf)
    hmtx.metrics = {renamed[name]: metric for name, metric in metrics.items()}
    if any(glyph.isComposite() for glyph in glyf.glyphs.values()):
        stop("a composite glyph is left")

    table = CmapSubtable.newSubtable(4)
    table.platformID, table.platEncID, table.language, table.cmap = 3, 1, 0, cmap
    noto["cmap"].tables = [table]

    names = noto["name"]
    notice, licence = names.getDebugName(0) or "", names.getDebugName(13) or ""
    names.names = []
    for number, text in [(0, notice), (1, "Benchleaf Sans"), (2, face.capitalize()), (3, f"BenchleafSans-{face.capitalize()}"),
                         (4, f"Benchleaf Sans {face.capitalize()}"), (6, f"BenchleafSans-{face.capitalize()}"), (13, licence)]:
        names.setName(text, number, 3, 1, 0x409)

    for tag in list(noto.keys()):
        if tag not in {"GlyphOrder", "cmap", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "name"}:
            del noto[tag]

    out = io.BytesIO()
    noto.save(out, reorderTables=True)
    return out.getvalue()


def cut(face, chars):
    """The part of a made face that has these characters, without the names: a PDF has its own. It keeps the whole face's bounds, by which
    some readers choose how they draw: a page looks the same whichever part it is set in."""
    font = TTFont(io.BytesIO(face), recalcTimestamp=False, recalcBBoxes=False)
    glyf, hmtx = font["glyf"], font["hmtx"]
    cmap = {c: g for c, g in font.getBestCmap().items() if c in chars}
    kept = {".notdef", *cmap.values()}
    order = [g for g in font.getGlyphOrder() if g in kept]
    hmtx.metrics = {g: hmtx[g] for g in order}
    glyphs = {g: glyf[g] for g in order}
    font.setGlyphOrder(order)
    glyf.glyphs, glyf.glyphOrder = glyphs, order
    font["cmap"].tables[0].cmap = cmap
    del font["name"]
    out = io.BytesIO()
    font.save(out, reorderTables=True)
    return out.getvalue()


def runs(chars):
    """Neighbours as (first, last); none goes over the end of a row of 256, as a range of a map may not."""
    found = []
    for c in sorted(chars):
        if found and c == found[-1][1] + 1 and c % 256:
            found[-1][1] = c
        else:
            found.append([c, c])
    return found


def to_unicode(chars):
    """Each code is its character (ISO 32000-1, 9.10.3). At most 100 ranges may stand together."""
    rows = [f"<{first:04X}> <{last:04X}> <{first:04X}>\n" for first, last in runs(chars)]
    text = ("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
            "/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n"
            "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
            "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
    for at in range(0, len(rows), 100):
        some = rows[at : at + 100]
        text += f"{len(some)} beginbfrange\n{''.join(some)}endbfrange\n"
    return text + "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"


def part(face, name, number, chars, heights):
    """What a PDF takes in of a face, as in `Part` of fonts.h."""
    whole = number == len(PARTS) - 1
    file = face if whole else cut(face, chars)
    font = TTFont(io.BytesIO(file))
    cmap, advances, head = font.getBestCmap(), font["hmtx"], font["head"]
    glyphs = bytearray(2 * (max(chars) + 1))
    for c, glyph in cmap.items():
        glyphs[2 * c : 2 * c + 2] = font.getGlyphID(glyph).to_bytes(2, "big")
    widths = "".join(f"{first}[{' '.join(str(advances[cmap[c]][0]) for c in range(first, last + 1))}]" for first, last in runs(chars))
    ascent, descent, cap_height, x_height = heights
    descriptor = (f"/Flags {96 if name == 'italic' else 32}/FontBBox[{head.xMin} {head.yMin} {head.xMax} {head.yMax}]"
                  f"/ItalicAngle {-12 if name == 'italic' else 0}/Ascent {ascent}/Descent {descent}/CapHeight {cap_height}"
                  f"/XHeight {x_height}/StemV {STEMS[name]}")
    # Six capitals stand before the name of a font that is not embedded whole (9.6.4), others for each part.
    called = ("" if whole else f"BLEA{name[0].upper()}{'ABCDEF'[number]}+") + f"BenchleafSans-{name.capitalize()}"
    return [called, descriptor, widths, zlib.compress(file, 9), str(len(file)), zlib.compress(bytes(glyphs), 9),
            zlib.compress(to_unicode(chars).encode("ascii"), 9)]


def literal(data):
    """Bytes as the text of C++ string literals."""
    rows = []
    for at in range(0, len(data), 64):
        rows.append('    "' + "".join(f"\\{byte:03o}" for byte in data[at : at + 64]) + '"')
    return "\n".join(rows)


def numbers(values):
    return ", ".join(str(value) for value in values)


def main():
    if len(sys.argv) not in (2, 3):
        stop("usage: make_fonts.py OUT.cpp [FOLDER]")
    folder = sys.argv[2] if len(sys.argv) == 3 else "/usr/share/fonts/truetype"
    made, heights = {}, {}
    for face, file, lender in FACES:
        font = opened(folder, file)
        heights[face] = (font["hhea"].ascent, font["hhea"].descent, font["OS/2"].sCapHeight, font["OS/2"].sxHeight)
        if heights[face][:3] != heights["regular"][:3]:
            stop(f"{file} has other heights than the regular face")
        made[face] = make(face, font, opened(folder, lender))

    advances = {}
    for face, file in made.items():
        font = TTFont(io.BytesIO(file))
        advances[face] = {c: font["hmtx"][g][0] for c, g in font.getBestCmap().items()}
    chars = sorted(advances["regular"])
    blocks = sorted({c // BLOCK for c in chars})
    index = [blocks.index(b) + 1 if b in blocks else 0 for b in range(blocks[-1] + 1)]

    def table(of):
        return [f"    {{{numbers(of(block * BLOCK + i) if block is not None else 0 for i in range(BLOCK))}}}," for block in [None] + blocks]

    text = [
        "// Made by src/fonts/make_fonts.py; see src/fonts/faces.h.",
        '#include "fonts/faces.h"',
        "",
        "namespace benchleaf::fonts {",
        "",
        f"const Heights face_heights{{{numbers(heights['regular'])}}};",
        f"const std::size_t block_count = {len(index)};",
        f"const std::uint8_t block_of[] = {{{numbers(index)}}};",
        f"const std::uint8_t kinds[][{BLOCK}] = {{", *table(kind), "};",
    ]
    rows = []
    for face, _, _ in FACES:
        if sorted(advances[face]) != chars or not all(0 < a < 0x8000 for a in advances[face].values()):
            stop(f"the {face} face does not cover what the regular face does, or has a character without width")
        text += [f"static const std::uint16_t {face}_advances[][{BLOCK}] = {{", *table(lambda c: advances[face].get(c, 0)), "};"]
        parts = []
        for number, kinds in enumerate(PARTS):
            values = []
            for i, value in enumerate(part(made[face], face, number, [c for c in chars if kind(c) & ~kinds == 0], heights[face])):
                if isinstance(value, bytes):
                    text += [f"static const char {face}_{number}_{i}[{len(value) + 1}] =", literal(value) + ";"]
                    values.append(f"{{{face}_{number}_{i}, {len(value)}}}")
                else:
                    values.append(value if value.isdigit() else f'"{value}"')
            parts.append(f"        {{{kinds}, {{{', '.join(values)}}}}},")
        rows += [f"    {{{face}_advances, {{{{", *parts, "    }}},"]
    text += ["", "const FaceData faces[face_count] = {", *rows, "};", "", "} // namespace benchleaf::fonts", ""]
    with open(sys.argv[1], "w", encoding="ascii") as out:
        out.write("\n".join(text))


main()
