"""Writes the pages of the checks (.md), the starting files (.yaml) and the completions (.sh) as C++ tables: embed.py OUT VERSION FILE..."""

import pathlib
import sys


def literal(text):
    delimiter = "embedded"
    if f"){delimiter}\"" in text:
        sys.exit("a text holds the end mark of its own literal")
    # A compiler need not take a literal of more than 65 536 characters: long texts are put together from pieces.
    pieces = [text[i : i + 10000] for i in range(0, len(text), 10000)] or [""]
    whole = "\n".join(f'R"{delimiter}({piece}){delimiter}"' for piece in pieces)
    # With its length: a compiler that counts the letters of every page for a constant gives up.
    return f"std::string_view({whole}, {len(text.encode())})"


def table(name, files):
    rows = "".join(f'    {{"{file.stem}", {literal(file.read_text(encoding="utf-8"))}}},\n' for file in files)
    return (
        f"std::span<const Embedded> {name}() {{\n    static constexpr Embedded all[] = {{\n{rows}    {{}},\n    }};\n"
        f"    return std::span(all).first({len(files)});\n}}\n"
    )


out, version, *names = sys.argv[1:]
files = [pathlib.Path(name) for name in sorted(names)]
pathlib.Path(out).write_text(
    "// Made by driver/embed.py.\n#include \"driver/embedded.h\"\n\nnamespace benchleaf::driver {\n\n"
    f'std::string_view version() {{\n    return "{version}";\n}}\n\n'
    + table("pages_of_checks", [f for f in files if f.suffix == ".md"])
    + "\n"
    + table("starters", [f for f in files if f.suffix == ".yaml"])
    + "\n"
    + table("completions", [f for f in files if f.suffix == ".sh"])
    + "\n} // namespace benchleaf::driver\n",
    encoding="utf-8",
)
