"""Line art of one bit a pixel as TIFF, in strips packed by CCITT Group 4."""

import io
import struct
from collections.abc import Iterable
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image

_LONG, _SHORT, _RATIONAL = 4, 3, 5
_GROUP_4, _WHITE_IS_ZERO, _INCH = 4, 0, 2
_FIRST, _COUNTS = 273, 279
"""Tags: where each strip begins and how many bytes it has."""
_HEADER = 8
"""Bytes ahead of all else."""


def line_art_tiff(strips: Iterable[NDArray[np.uint8]], columns: int, ppi: float) -> bytes:
    """Return rows of packed bits, 1 for ink, as a TIFF (TIFF 6.0, section 11; ITU-T T.6).

    Each strip has shape (rows, columns / 8 rounded up); all have the same rows but the last, which may
    have fewer. The image library would unpack the whole picture to a byte a pixel and pack its blank
    rows one by one; here only a strip is unpacked at once, and equal ones are packed once.
    """
    packed, highs = [], []
    for strip in strips:
        packed.append(_group_4(strip.tobytes(), columns))
        highs.append(len(strip))
    firsts = [_HEADER + sum(map(len, packed[:k])) for k in range(len(packed))]
    resolution = [round(ppi * 100), 100]
    fields = [
        (256, _LONG, [columns]),
        (257, _LONG, [sum(highs)]),
        (258, _SHORT, [1]),  # bits of a sample
        (259, _SHORT, [_GROUP_4]),
        (262, _SHORT, [_WHITE_IS_ZERO]),
        (_FIRST, _LONG, firsts),
        (277, _SHORT, [1]),  # samples of a pixel
        (278, _LONG, [highs[0]]),
        (_COUNTS, _LONG, [len(data) for data in packed]),
        (282, _RATIONAL, resolution),
        (283, _RATIONAL, resolution),
        (296, _SHORT, [_INCH]),
    ]
    return _file(b"".join(packed), fields)


@lru_cache(maxsize=8)
def _group_4(bits: bytes, columns: int) -> bytes:
    high = len(bits) // -(-columns // 8)
    file = io.BytesIO()
    image = Image.frombytes("1", (columns, high), bits)
    image.save(file, "TIFF", compression="group4", tiffinfo={278: high})
    with Image.open(file) as alone:
        (first,), (count,) = alone.tag_v2[_FIRST], alone.tag_v2[_COUNTS]  # type: ignore[attr-defined]
    return file.getvalue()[first : first + count]


def _file(pixels: bytes, fields: list[tuple[int, int, list[int]]]) -> bytes:
    """Return header, pixels, values too long for the directory, and the directory of `fields`."""
    behind = pixels + bytes(len(pixels) % 2)  # what the header points to begins on an even byte
    directory = struct.pack("<H", len(fields))
    for tag, kind, values in fields:
        data = struct.pack(f"<{len(values)}{'H' if kind == _SHORT else 'I'}", *values)
        count = len(values) // 2 if kind == _RATIONAL else len(values)
        if len(data) > 4:
            data, behind = struct.pack("<I", _HEADER + len(behind)), behind + data
        directory += struct.pack("<HHI", tag, kind, count) + data.ljust(4, b"\0")
    header = struct.pack("<2sHI", b"II", 42, _HEADER + len(behind))
    return header + behind + directory + bytes(4)  # no further directory
