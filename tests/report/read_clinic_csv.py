# SPDX-License-Identifier: Apache-2.0
"""Reads a clinic list with Python's csv module, strictly, and prints it as JSON: a list of lines, each a list of cells."""
import csv
import json
import sys

with open(sys.argv[1], newline="", encoding="utf-8") as file:
    print(json.dumps(list(csv.reader(file, strict=True))))
