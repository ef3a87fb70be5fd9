"""bundle.py FILE.yaml: the files in it as PyYAML reads them, one a line: path, SHA-256 as written, SHA-256 of the text as Python
reckons it, and the text in hexadecimal, tabs between."""
import base64
import hashlib
import sys

import yaml

with open(sys.argv[1], "rb") as file:
    bundle = yaml.safe_load(file.read())
assert list(bundle) == ["bundle", "files"] and bundle["bundle"] == 1
for each in bundle["files"]:
    assert list(each) in (["path", "sha256", "text"], ["path", "sha256", "base64"])
    text = each["text"].encode("utf-8") if "text" in each else base64.b64decode(each["base64"].replace("\n", ""), validate=True)
    print(each["path"], each["sha256"], hashlib.sha256(text).hexdigest(), text.hex(), sep="\t")
