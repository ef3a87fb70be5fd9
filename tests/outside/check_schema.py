"""Validates YAML files against a JSON Schema with Debian's python3-jsonschema, which knows nothing of benchleaf.

check_schema.py SCHEMA FILE...   prints one line a mistake: file, path in it, what is wrong. Exit status 1 if there is one.
Scalars are taken as YAML 1.2's core schema takes them, which is what editors do (PyYAML alone would take YAML 1.1).
"""
import json
import re
import sys

import jsonschema
import yaml


class Core(yaml.SafeLoader):
    """YAML 1.2 core: no dates, no yes/no, no octal by a leading nought."""


Core.yaml_implicit_resolvers = {}
Core.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile(r"^(true|True|TRUE|false|False|FALSE)$"), list("tTfF"))
Core.add_implicit_resolver("tag:yaml.org,2002:null", re.compile(r"^(~|null|Null|NULL|)$"), ["~", "n", "N", ""])
Core.add_implicit_resolver("tag:yaml.org,2002:int", re.compile(r"^[-+]?(0|[1-9][0-9]*)$"), list("-+0123456789"))
Core.add_implicit_resolver("tag:yaml.org,2002:float", re.compile(r"^[-+]?[0-9]+\.[0-9]+$"), list("-+0123456789"))


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        schema = json.load(file)
    jsonschema.Draft7Validator.check_schema(schema)
    validator = jsonschema.Draft7Validator(schema)
    wrong = 0
    for path in sys.argv[2:]:
        with open(path, encoding="utf-8") as file:
            text = yaml.load(file, Core)
        for error in validator.iter_errors(text):
            wrong += 1
            print(path, "/".join(str(part) for part in error.absolute_path), error.message[:200], sep=": ")
    return 1 if wrong else 0


sys.exit(main())
