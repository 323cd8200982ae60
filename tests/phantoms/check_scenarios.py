# SPDX-License-Identifier: Apache-2.0
"""Holds scenarios against their schema with the Debian package python3-jsonschema.

usage: check_scenarios.py SCHEMA SCENARIOS [--errors]
SCENARIOS is a JSON list. Printed: for each its error (the first; empty where it is valid) and, where it is valid, filled: the scenario with every default
that the schema states for what it says, and ranges: of each of its numbers the JSON pointer, least and greatest value, and whether it is whole. With --errors nothing but the
errors, which is quicker.
"""
import copy
import json
import sys

import jsonschema

with open(sys.argv[1], encoding="utf-8") as file:
    schema = json.load(file)
with open(sys.argv[2], encoding="utf-8") as file:
    scenarios = json.load(file)
Validator = jsonschema.Draft202012Validator
try:
    Validator.check_schema(schema)
except jsonschema.SchemaError as error:
    sys.exit(f"{error.json_path}: {error.message}")
whole = Validator(schema)


def rules_of(rule, value):
    """The rule and all that it leads to for this value."""
    if not isinstance(rule, dict):
        return
    yield rule
    if "$ref" in rule:
        yield from rules_of(schema["$defs"][rule["$ref"].removeprefix("#/$defs/")], value)
    for part in rule.get("allOf", []):
        yield from rules_of(part, value)
    if "if" in rule:
        yield from rules_of(rule.get("then" if whole.evolve(schema=rule["if"]).is_valid(value) else "else"), value)


def fill(rules, value, pointer, ranges):
    """Adds the defaults to `value`, and the range of each number in it to `ranges`."""
    if isinstance(value, (int, float)):
        least, greatest = ([r[word] for r in rules if word in r] for word in ("minimum", "maximum"))
        if not least or not greatest:
            sys.exit(f"{pointer} has no range")
        ranges.append({"at": pointer, "least": max(least), "greatest": min(greatest), "whole": any(r.get("type") == "integer" for r in rules)})
    if isinstance(value, list):
        items = [r["items"] for r in rules if "items" in r]
        for index, entry in enumerate(value):
            fill([r for item in items for r in rules_of(item, entry)], entry, f"{pointer}/{index}", ranges)
    if not isinstance(value, dict):
        return
    while True:  # a default may make further keys possible
        reached = [r for rule in rules for r in rules_of(rule, value)]
        keys = [(key, rule) for r in reached for key, rule in r.get("properties", {}).items()]
        defaults = {key: r["default"] for key, rule in keys for r in rules_of(rule, None) if "default" in r and key not in value}
        if not defaults:
            break
        value.update(copy.deepcopy(defaults))
    for key, entry in value.items():
        own = [rule for name, rule in keys if name == key]
        fill([r for rule in own for r in rules_of(rule, entry)], entry, f"{pointer}/{key}", ranges)


answers = []
for scenario in scenarios:
    error = next(whole.iter_errors(scenario), None)
    if error or "--errors" in sys.argv:
        answers.append({"error": f"{error.json_path}: {error.message}" if error else ""})
        continue
    filled, ranges = copy.deepcopy(scenario), []
    fill([schema], filled, "", ranges)
    answers.append({"error": "", "filled": filled, "ranges": ranges})
json.dump(answers, sys.stdout)
