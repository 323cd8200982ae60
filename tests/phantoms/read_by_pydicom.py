# SPDX-License-Identifier: Apache-2.0
"""What the Debian package python3-pydicom reads of the images below a folder, as JSON, in the order of their names.

usage: read_by_pydicom.py FOLDER
For each folder with images a list of objects: name, position, orientation, spacing (between rows, between columns), rows, columns, values
(rescaled, row by row).
"""
import array
import json
import pathlib
import sys

import pydicom


def values_of(image):
    # Not encapsulated, little endian, 16 bits: what array makes of them is what they are; numpy need not be there.
    stored = array.array("h" if image.PixelRepresentation else "H", image.PixelData)
    if sys.byteorder != "little":
        stored.byteswap()
    slope, intercept = float(image.get("RescaleSlope", 1)), float(image.get("RescaleIntercept", 0))
    return [slope * value + intercept for value in stored]


def slice_of(path):
    image = pydicom.dcmread(path)
    assert image.BitsAllocated == 16 and image.SamplesPerPixel == 1 and not image.file_meta.TransferSyntaxUID.is_compressed
    return {
        "name": path.name,
        "position": [float(x) for x in image.ImagePositionPatient],
        "orientation": [float(x) for x in image.ImageOrientationPatient],
        "spacing": [float(x) for x in image.PixelSpacing],
        "rows": image.Rows,
        "columns": image.Columns,
        "values": values_of(image),
    }


series = {}
for path in sorted(pathlib.Path(sys.argv[1]).rglob("*.dcm")):
    series.setdefault(str(path.parent), []).append(slice_of(path))
json.dump(series, sys.stdout)
