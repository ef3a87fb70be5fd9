"""Fills the form of a PDF as programs do that write less than they could. TEXTS has lines of name, tab, text; the text `Yes` sets a check box.
Of several files, one after the other.

    filled.py values IN.pdf OUT.pdf TEXTS ...
                                            only the value of each field, /V; the file is written anew by pikepdf
    filled.py update IN.pdf OUT.pdf TEXTS ...
                                            the same, but what changed is appended to the file as it was (ISO 32000-1, 7.5.6)
    filled.py looks IN.pdf OUT.pdf TEXTS ...
                                            of a check box only what is seen, /AS
    filled.py widgets IN.pdf OUT.pdf TEXTS ...
                                            into each widget on a page, also of a field that has several
    filled.py loose IN.pdf OUT.pdf          all objects plain, none packed, so that damage meets each of them
"""
import re
import sys

import pikepdf


def named(pdf):
    def walk(field, above):
        name = above + str(field.T) if "/T" in field else above.removesuffix(".")
        kids = [kid for kid in field.get("/Kids", []) if "/T" in kid]
        if kids:
            for kid in kids:
                yield from walk(kid, name + ".")
        else:
            yield name, field

    for field in pdf.Root.AcroForm.Fields:
        yield from walk(field, "")


def fill(pdf, texts, how):
    wanted = dict(line.rstrip("\n").split("\t") for line in open(texts, encoding="utf-8"))
    changed = []
    for name, field in named(pdf):
        if name not in wanted:
            continue
        text = wanted.pop(name)
        tick = field.FT == "/Btn"
        value = pikepdf.Name("/" + text) if tick else pikepdf.String(text)
        for part in field.get("/Kids", [field]) if how == "widgets" else [field]:
            part["/AS" if how == "looks" and tick else "/V"] = value
            changed.append(part)
    if wanted:
        sys.exit(f"no field named {sorted(wanted)}")
    return changed


def update(source, to, changed, pdf):
    """Appends the objects, and a stream that says where they are."""
    before = open(source, "rb").read()
    last = int(re.findall(rb"startxref\s+(\d+)", before)[-1])
    out = bytearray(before)
    places = []
    for part in changed:
        number, generation = part.objgen
        places.append((number, len(out)))
        out += b"%d %d obj\n%s\nendobj\n" % (number, generation, part.unparse(resolved=True))
    size, start = int(pdf.trailer.Size), len(out)
    places = sorted(places + [(size, start)])
    rows = b"".join(b"\1" + place.to_bytes(4, "big") + b"\0\0" for _, place in places)
    index = " ".join(f"{number} 1" for number, _ in places)
    head = f"/Type/XRef/Size {size + 1}/Prev {last}/W[1 4 2]/Index[{index}]/Length {len(rows)}"
    head += "".join(f"{key} {pdf.trailer[key].unparse().decode('ascii')}" for key in ("/Root", "/Info") if key in pdf.trailer)
    out += b"%d 0 obj\n<<%s>>\nstream\n%s\nendstream\nendobj\nstartxref\n%d\n%%%%EOF\n" % (size, head.encode("ascii"), rows, start)
    open(to, "wb").write(out)


how, files = sys.argv[1], sys.argv[2:]
if how == "loose":
    source, to = files
    pikepdf.open(source).save(to, object_stream_mode=pikepdf.ObjectStreamMode.disable)
else:
    for source, to, texts in zip(files[::3], files[1::3], files[2::3]):
        pdf = pikepdf.open(source)
        changed = fill(pdf, texts, how)
        if how == "update":
            update(source, to, changed, pdf)
        else:
            pdf.save(to)
