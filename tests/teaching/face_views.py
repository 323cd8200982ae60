#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Draws the surface between tissue and air of one series, whole and cut down for teaching, from five sides beside each other: what a face could be known by, for people to look at. Not a test.

    face_views.py WHOLE CUT OUT.png [THRESHOLD]

WHOLE and CUT are folders with the single uncompressed slices of one series each, CUT as `perisclera teach` wrote it; THRESHOLD parts tissue from air (default: -300, as on CT). Needs numpy and pydicom.
The surface is what a straight line from each side meets first; brightness follows how it is inclined. Upper row: whole; lower row: cut; both at one scale.
"""
import glob
import os
import struct
import sys
import zlib

import numpy
import pydicom

STEP = 0.6  # mm a pixel
SIDES = ("front", "patient's right", "patient's left", "above", "below")


def volume_of(folder):
    """Values on a grid along the patient's axes (x left, y back, z up), its corner, nearest neighbour."""
    slices = [pydicom.dcmread(name) for name in glob.glob(os.path.join(folder, "**", "*"), recursive=True) if os.path.isfile(name)]
    slices = [s for s in slices if hasattr(s, "ImagePositionPatient")]
    row, column = numpy.split(numpy.array(slices[0].ImageOrientationPatient, float), 2)
    normal = numpy.cross(row, column)
    slices.sort(key=lambda s: numpy.dot(normal, numpy.array(s.ImagePositionPatient, float)))
    values = numpy.stack([s.pixel_array.astype(float) * float(getattr(s, "RescaleSlope", 1)) + float(getattr(s, "RescaleIntercept", 0)) for s in slices])
    first, last = (numpy.array(s.ImagePositionPatient, float) for s in (slices[0], slices[-1]))
    down, along = (float(v) for v in slices[0].PixelSpacing)
    steps = numpy.stack([row * along, column * down, (last - first) / max(1, len(slices) - 1)], axis=1)
    corners = numpy.array([first + steps @ numpy.array(c) for c in numpy.ndindex(2, 2, 2) for c in [[c[0] * (values.shape[2] - 1), c[1] * (values.shape[1] - 1), c[2] * (values.shape[0] - 1)]]])
    return values, first, numpy.linalg.inv(steps), corners.min(0), corners.max(0)


def resampled(volume, low, high, air):
    values, first, inverse, _, _ = volume
    axes = [numpy.arange(a, b, STEP) for a, b in zip(low, high)]
    x, y, z = numpy.meshgrid(*axes, indexing="ij")
    index = numpy.rint(numpy.tensordot(inverse, numpy.stack([x, y, z]) - first[:, None, None, None], 1)).astype(int)
    inside = numpy.all([(index[k] >= 0) & (index[k] < values.shape[2 - k]) for k in range(3)], axis=0)
    out = numpy.full(x.shape, air, float)
    out[inside] = values[index[2][inside], index[1][inside], index[0][inside]]
    return out


def view(tissue, side):
    """Depth of the first tissue along lines from one side, shaded; black where there is none."""
    turned = {"front": lambda t: t.transpose(2, 0, 1)[::-1], "patient's right": lambda t: t.transpose(2, 1, 0)[::-1, ::-1], "patient's left": lambda t: t.transpose(2, 1, 0)[::-1, :, ::-1],
              "above": lambda t: t.transpose(1, 0, 2)[:, :, ::-1], "below": lambda t: t.transpose(1, 0, 2)}[side](tissue)
    seen = turned.any(axis=2)
    depth = numpy.where(seen, turned.argmax(axis=2), turned.shape[2]) * STEP
    smooth = sum(numpy.roll(numpy.roll(depth, a, 0), b, 1) for a in (-1, 0, 1) for b in (-1, 0, 1)) / 9.0
    rise, run = numpy.gradient(smooth, STEP)
    light = (0.5 * run + 0.5 * rise + 1.0) / numpy.sqrt(1.5 * (1.0 + rise**2 + run**2))
    return numpy.where(seen, 40 + 215 * numpy.clip(light, 0, 1), 0).astype(numpy.uint8)


def write_png(picture, name):
    def chunk(kind, body):
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    rows = b"".join(b"\0" + line.tobytes() for line in picture)
    with open(name, "wb") as out:
        out.write(b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", picture.shape[1], picture.shape[0], 8, 0, 0, 0, 0)) + chunk(b"IDAT", zlib.compress(rows, 9)) + chunk(b"IEND", b""))


def main():
    whole, cut = volume_of(sys.argv[1]), volume_of(sys.argv[2])
    threshold = float(sys.argv[4]) if len(sys.argv) > 4 else -300.0
    low, high = whole[3], whole[4]
    rows = []
    for volume in (whole, cut):
        tissue = resampled(volume, low, high, -1e9) > threshold
        views = [view(tissue, side) for side in SIDES]
        height = max(v.shape[0] for v in views)
        rows.append(numpy.hstack([numpy.pad(v, ((0, height - v.shape[0]), (4, 4)), constant_values=0) for v in views]))
    write_png(numpy.vstack([rows[0], numpy.full((6, rows[0].shape[1]), 128, numpy.uint8), rows[1]]), sys.argv[3])


if __name__ == "__main__":
    main()
