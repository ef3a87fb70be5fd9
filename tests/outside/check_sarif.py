#!/usr/bin/python3
"""Reads SARIF logs by the published schema of SARIF 2.1.0, and by what the standard says besides of how a log hangs together.

usage: check_sarif.py SCHEMA LOG...            prints one line for each thing that is wrong; status 1 when there is any
"""
import json
import sys

import jsonschema


def regions(node):
    if isinstance(node, dict):
        for key, value in node.items():
            if key in ("region", "deletedRegion"):
                yield value
            yield from regions(value)
    elif isinstance(node, list):
        for each in node:
            yield from regions(each)


def problems(schema, log):
    for error in schema.iter_errors(log):
        yield f"{'/'.join(map(str, error.absolute_path))}: {error.message}"
    for run in log.get("runs", []):
        rules = run["tool"]["driver"].get("rules", [])
        for result in run.get("results", []):
            # §3.27.6: where there is an index, it is that of the rule by that name.
            at = result.get("ruleIndex", -1)
            if at >= 0 and (at >= len(rules) or rules[at]["id"] != result["ruleId"]):
                yield f"the index {at} is not that of the rule {result['ruleId']}"
            for fix in result.get("fixes", []):
                for change in fix["artifactChanges"]:
                    if not change["replacements"]:
                        yield f"a fix of {result['ruleId']} changes nothing"
    for region in regions(log):
        # §3.30: a region in lines and columns ends no earlier than it begins.
        if "startLine" in region:
            begin = (region["startLine"], region.get("startColumn", 1))
            end = (region.get("endLine", region["startLine"]), region.get("endColumn", sys.maxsize))
            if end < begin:
                yield f"a region that ends before it begins: {region}"


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        text = json.load(file)
    kind = jsonschema.validators.validator_for(text)
    kind.check_schema(text)
    bad = False
    for path in sys.argv[2:]:
        with open(path, encoding="utf-8") as file:
            log = json.load(file)
        for problem in problems(kind(text), log):
            print(f"{path}: {problem}")
            bad = True
    return 1 if bad else 0


sys.exit(main())
