# SPDX-License-Identifier: Apache-2.0
"""Validates FHIR R4 bundles against HL7's JSON schema of R4 with the Debian package python3-jsonschema, each resource by its own definition.

usage: validate_fhir_schema.py SCHEMA BUNDLE...
Exit status 0: all valid; 1: one is not (the errors are printed).
"""
import json
import sys

import jsonschema


def main():
    with open(sys.argv[1], encoding="utf-8") as file:
        schema = json.load(file)
    failed = 0
    for path in sys.argv[2:]:
        with open(path, encoding="utf-8") as file:
            bundle = json.load(file)
        for resource in [{**bundle, "entry": []}] + [entry["resource"] for entry in bundle["entry"]]:
            resource = {name: value for name, value in resource.items() if name != "entry"}
            definition = {**schema, "oneOf": [{"$ref": "#/definitions/" + resource["resourceType"]}]}
            for error in jsonschema.Draft6Validator(definition).iter_errors(resource):
                for cause in (error.context or [error])[:5]:
                    print(resource["resourceType"], cause.json_path, cause.message[:200])
                failed = 1
    return failed


sys.exit(main())
