# SPDX-License-Identifier: Apache-2.0
"""Validates a report.json against the schema with the Debian package python3-jsonschema.

usage: validate_report.py SCHEMA REPORT
Exit status 0: valid; 1: not valid (the errors are printed); 2: schema or file unusable.
"""
import json
import sys

import jsonschema


def refuse(constant):
    raise ValueError(f"{constant} is not JSON")  # Python alone would accept NaN and Infinity


def main():
    try:
        with open(sys.argv[1], encoding="utf-8") as file:
            schema = json.load(file)
        with open(sys.argv[2], encoding="utf-8") as file:
            report = json.load(file, parse_constant=refuse)
        jsonschema.Draft202012Validator.check_schema(schema)
    except Exception as error:
        print(f"unusable: {error}")
        return 2
    errors = list(jsonschema.Draft202012Validator(schema).iter_errors(report))
    for error in errors[:10]:
        print(f"{error.json_path}: {error.message[:200]}")
    return 1 if errors else 0


sys.exit(main())
