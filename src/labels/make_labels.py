#!/usr/bin/env python3
"""Makes keys.h and labels.cpp from the label files: make_labels.py OUT_FOLDER en.yaml de.yaml …

The first file declares the keys. Any other that lacks one, or has one too many, or whose blanks or forms do not match, stops the
build with the name of the file and the key."""
import json
import re
import sys
import unicodedata

FORMS = {"one-other": 2, "french": 2, "polish": 4}
problems = []


def read(path):
    texts = {}
    for number, line in enumerate(open(path, encoding="utf-8"), 1):
        line = line.strip()
        if not line or line.startswith("#"):
            continue
        match = re.fullmatch(r'([a-z]+(?:-[a-z]+)*): (".*")', line)
        if not match:
            problems.append(f'{path}:{number}: not a line of the form  key: "text"')
            continue
        key, text = match[1], json.loads(match[2])
        if key in texts:
            problems.append(f"{path}:{number}: the key {key} stands twice")
        if not text:
            problems.append(f"{path}:{number}: the key {key} has no text")
        texts[key] = unicodedata.normalize("NFC", text)
    return texts


def blanks(text):
    """How many values a text takes, and a complaint if it mixes {} and {1} or leaves a number out."""
    plain = text.count("{}")
    numbered = {int(n) for n in re.findall(r"\{(\d)\}", text)}
    if plain and numbered:
        return -1
    return max(numbered, default=0) if numbered else plain


out, paths = sys.argv[1], sys.argv[2:]
languages = {re.sub(r".*/|\.yaml$", "", path): (path, read(path)) for path in paths}
first_path, first = next(iter(languages.values()))
for path, texts in languages.values():
    for key in first:
        if key not in texts:
            problems.append(f"{path}: the key {key} is missing; {first_path} has it")
    for key, text in texts.items():
        if key not in first:
            problems.append(f"{path}: the key {key} is not in {first_path}")
            continue
        if blanks(text) != blanks(first[key]) or blanks(text) < 0:
            problems.append(f"{path}: the key {key} does not take as many values as in {first_path}")
        forms = text.count(" | ") + 1
        wanted = FORMS.get(texts.get("plural-rule"), 0) if key.startswith("unit-") else 2 if key.startswith("axis-") else 1
        if forms != wanted:
            problems.append(f"{path}: the key {key} has {forms} forms, not {wanted}")
    if texts.get("plural-rule") not in FORMS:
        problems.append(f"{path}: plural-rule is one of {', '.join(FORMS)}")
    if texts.get("decimal-mark") not in (".", ","):
        problems.append(f"{path}: decimal-mark is a point or a comma")
if problems:
    sys.exit("\n".join(problems))


def quoted(text):
    return json.dumps(text, ensure_ascii=False)


def name(key):
    return key.replace("-", "_") + ("_" if key in ("continue",) else "")


with open(f"{out}/keys.h", "w", encoding="utf-8") as header:
    header.write("// Made by src/labels/make_labels.py from the label files.\n#pragma once\n\n#include <cstddef>\n#include <cstdint>\n\n"
                 "namespace benchleaf::labels {\n\nenum class Key : std::uint16_t {\n")
    header.write("".join(f"    {name(key)},\n" for key in first))
    header.write(f"}};\ninline constexpr std::size_t key_count = {len(first)};\n\n}} // namespace benchleaf::labels\n")
with open(f"{out}/labels.cpp", "w", encoding="utf-8") as source:
    source.write('// Made by src/labels/make_labels.py from the label files.\n#include "labels/labels.h"\n\nnamespace benchleaf::labels {\n\n'
                 "namespace {\nconstexpr Labels all[] = {\n")
    for language, (path, texts) in languages.items():
        rule = texts["plural-rule"].replace("-", "_")
        source.write(f'    {{"{language}",\n     PluralRule::{rule},\n     {{{{\n')
        source.write("".join(f"         {quoted(texts[key])},\n" for key in first))
        source.write("     }}},\n")
    source.write("};\n} // namespace\n\nstd::span<const Labels> languages() {\n    return all;\n}\n\n} // namespace benchleaf::labels\n")
