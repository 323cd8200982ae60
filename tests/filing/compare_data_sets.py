# SPDX-License-Identifier: Apache-2.0
"""Are the data sets of each file of ours and the file of the same instance in a folder equal, element by element? File meta and group lengths do not count.

usage: compare_data_sets.py FOLDER FILE...
"""
import pathlib
import sys

import pydicom


def elements_of(item, path=""):
    """Every element of a data set and of its items, by its path."""
    for element in item:
        if element.tag.element == 0:
            continue
        place = f"{path}/{element.tag}"
        if element.VR == "SQ":
            yield place, "SQ", len(element.value)
            for number, inner in enumerate(element.value):
                yield from elements_of(inner, f"{place}[{number}]")
        else:
            yield place, element.VR, element.value


fetched = {}
for file in pathlib.Path(sys.argv[1]).iterdir():
    data = pydicom.dcmread(file)
    fetched[data.SOPInstanceUID] = data
assert len(fetched) == len(sys.argv[2:]), f"{len(fetched)} instances came back"
count = 0
for file in sys.argv[2:]:
    sent = pydicom.dcmread(file)
    ours, theirs = list(elements_of(sent)), list(elements_of(fetched[sent.SOPInstanceUID]))
    assert [e[0] for e in ours] == [e[0] for e in theirs], "other elements"
    for a, b in zip(ours, theirs):
        assert a == b, f"{a[0]} changed"
    count += len(ours)
print(f"{len(fetched)} instances, {count} elements")
