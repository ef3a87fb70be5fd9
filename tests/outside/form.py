"""What a form in a PDF is to other people's programs.

    form.py list FILE.pdf                 each field in the order of its page's annotations, by pikepdf, one a line, tabs between:
                                          page, Tx or Btn, name, words, maximum length, size, place in points from the lower left
    form.py fill IN.pdf OUT.pdf TEXTS ... by poppler, as a viewer fills and saves it: TEXTS has lines of name, tab, text;
                                          the text `Yes` sets a check box; of several, one after the other
    form.py font FILE.pdf [LETTERS]       whether each character of the form's font has the glyph and the width that the embedded file gives
                                          it, and these are of the outline of Debian's original font; whether each of LETTERS is
                                          among them: ends with how many characters
"""
import io
import os
import re
import sys

import pikepdf


def fields(path):
    pdf = pikepdf.open(path)
    for number, page in enumerate(pdf.pages, 1):
        for widget in page.get("/Annots", []):
            field = widget if "/T" in widget else widget.Parent
            kind = str(field.FT)[1:]
            assert widget.Subtype == "/Widget" and int(widget.F) == 4, "a widget that is printed"
            assert "/MK" not in widget and "/BS" not in widget, "no frame or ground of its own"
            normal = widget.AP.N
            if kind == "Btn":
                assert sorted(normal.keys()) == ["/Off", "/Yes"] and widget.AS == "/Off"
                size = 0
            else:
                size = re.fullmatch(r"/BenchleafSans (\S+) Tf 0 g", str(widget.DA))[1]
                assert b"Tj" not in normal.read_bytes()
            place = " ".join(f"{float(x):.3f}" for x in widget.Rect)
            print(number, kind, str(field.T), str(widget.TU), int(field.get("/MaxLen", 0)), size, place, sep="\t")
        if "/Annots" in page:
            assert page.Tabs == "/R", "the order of the tab key is that of the rows"


def fill(source, to, texts):
    import gi

    gi.require_version("Poppler", "0.18")
    from gi.repository import Poppler

    wanted = dict(line.rstrip("\n").split("\t") for line in open(texts, encoding="utf-8"))
    done = set()
    document = Poppler.Document.new_from_file("file://" + os.path.abspath(source), None)
    for number in range(document.get_n_pages()):
        page = document.get_page(number)
        for mapping in page.get_form_field_mapping():
            name = mapping.field.get_name()
            if name not in wanted:
                continue
            if mapping.field.get_field_type() == Poppler.FormFieldType.BUTTON:
                mapping.field.button_set_state(wanted[name] == "Yes")
            else:
                mapping.field.text_set_text(wanted[name])
            done.add(name)
    if done != set(wanted):
        sys.exit(f"no field named {sorted(set(wanted) - done)}")
    document.save("file://" + os.path.abspath(to))


def font(path, letters=""):
    from fontTools.ttLib import TTFont

    sys.dont_write_bytecode = True  # nothing generated in the source tree
    from check_font import ROOT, SAME, SOURCES, differ, outline

    originals = [TTFont(ROOT + name) for name in SOURCES["regular"]]
    cmaps = [original.getBestCmap() for original in originals]
    form = pikepdf.open(path).Root.AcroForm
    [(name, font)] = form.DR.Font.items()
    assert str(form.DA).startswith(name + " ") and font.Encoding == "/Identity-H"
    [inner] = font.DescendantFonts
    file = TTFont(io.BytesIO(inner.FontDescriptor.FontFile2.read_bytes()))
    glyphs, cmap = inner.CIDToGIDMap.read_bytes(), file["cmap"].getcmap(3, 1).cmap
    characters = {}
    for first, last, to in re.findall(r"<(\w{4})> <(\w{4})> <(\w{4})>", font.ToUnicode.read_bytes().decode("ascii")):
        assert first[:2] == last[:2]
        for code in range(int(first, 16), int(last, 16) + 1):
            characters[code] = int(to, 16) + code - int(first, 16)
    widths = {}
    table = list(inner.W)
    for first, row in zip(table[::2], table[1::2]):
        widths.update({int(first) + i: int(width) for i, width in enumerate(row)})
    assert set(characters) == set(widths) == set(cmap)
    for code, character in characters.items():
        glyph = int.from_bytes(glyphs[2 * code : 2 * code + 2], "big")
        assert code == character and file.getGlyphName(glyph) == cmap[character], f"U+{character:04X}"
        assert widths[code] == file["hmtx"][cmap[character]][0], f"U+{character:04X}"
        looked = SAME.get(character, character)
        which = 0 if looked in cmaps[0] else 1
        scale, most = 1000 / originals[which]["head"].unitsPerEm, 0.5001 * which
        theirs = outline(originals[which], cmaps[which][looked])
        assert not differ(outline(file, cmap[character]), theirs, scale, most), f"U+{character:04X} is damaged"
    for letter in letters.replace(" ", ""):
        assert ord(letter) in characters, f"U+{ord(letter):04X} cannot be typed"
    print(len(characters))


if sys.argv[1] == "list":
    fields(sys.argv[2])
elif sys.argv[1] == "font":
    font(*sys.argv[2:4])
else:
    for at in range(2, len(sys.argv), 3):
        fill(*sys.argv[at : at + 3])
