# SPDX-License-Identifier: Apache-2.0
"""Decodes an 8-bit grey or RGB picture by the PNG standard (ISO/IEC 15948, with Python's zlib) and writes its first channel as binary PGM.

usage: png_to_pgm.py PICTURE.png OUT.pgm
"""
import struct
import sys
import zlib


def paeth(a, b, c):
    # Distances of a + b - c from each, written so that a picture takes no second.
    from_a, from_b, from_c = abs(b - c), abs(a - c), abs(a + b - c - c)
    return a if from_a <= from_b and from_a <= from_c else b if from_b <= from_c else c


def main():
    with open(sys.argv[1], "rb") as file:
        data = file.read()
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    at, packed, kinds = 8, b"", []
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at:at + 8])
        body = data[at + 8:at + 8 + length]
        assert zlib.crc32(kind + body) == struct.unpack(">I", data[at + 8 + length:at + 12 + length])[0]
        kinds.append(kind)
        if kind == b"IHDR":
            width, height, depth, colour, _, _, interlaced = struct.unpack(">IIBBBBB", body)
            assert (depth, interlaced) == (8, 0) and colour in (0, 2)
            size = 3 if colour == 2 else 1
        elif kind == b"IDAT":
            packed += body
        at += 12 + length
    # Chunks of text or time could carry what a picture must not say.
    assert not {b"tEXt", b"iTXt", b"zTXt", b"tIME", b"eXIf"} & set(kinds)
    lines, stride = zlib.decompress(packed), size * width
    above, first = bytearray(stride), b""
    for y in range(height):
        method, line = lines[y * (stride + 1)], bytearray(lines[y * (stride + 1) + 1:(y + 1) * (stride + 1)])
        for i in range(stride if method else 0):
            left, up, corner = (line[i - size] if i >= size else 0), above[i], (above[i - size] if i >= size else 0)
            line[i] = (line[i] + (left if method == 1 else up if method == 2 else (left + up) // 2 if method == 3 else paeth(left, up, corner))) & 255
        above = line
        first += bytes(line[0::size])
    with open(sys.argv[2], "wb") as file:
        file.write(b"P5 %d %d 255\n" % (width, height) + first)


main()
