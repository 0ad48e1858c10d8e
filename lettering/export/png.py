"""A drawing as PNG with alpha, carrying its resolution; made in bands so that memory stays small."""

import struct
import zlib
from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from lettering.drawing import Drawing
from lettering.errors import OutputError
from lettering.export.paint import Rgba, Strip, strip
from lettering.units import MM_PER_INCH, mm_to_px

BAND_ROWS = 256
"""Rows painted and packed at once: 12 MB on a spread at 600 ppi."""
MOST_PIXELS = 400_000_000
"""Largest picture: a spread of 1000 x 400 mm at 600 ppi has 223 million."""
LONGEST_SIDE = 32_767
"""Most columns that can be painted."""

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_ZLIB_HEADER, _LAST_BLOCK = b"\x78\x9c", b"\x03\0"
_UP = 2
"""The PNG filter that stores what differs from the row above."""


def png(drawing: Drawing, ppi: float) -> bytes:
    """Return the drawing, bleed included, as an 8-bit PNG with alpha at `ppi` pixels an inch.

    Where nothing is painted the picture is clear. The resolution stands in a pHYs chunk (PNG, third
    edition, 11.3.4.3), in pixels a metre; raises OutputError when the picture would be too large.
    """
    columns, rows = size(drawing, ppi)
    per_metre = round(ppi * 1000 / MM_PER_INCH)
    header = struct.pack(">IIBBBBB", columns, rows, 8, 6, 0, 0, 0)
    parts = [_SIGNATURE, _chunk(b"IHDR", header), _chunk(b"sRGB", b"\0")]
    parts.append(_chunk(b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1)))
    parts += [_chunk(b"IDAT", data) for data in _image_data(drawing, columns, rows)]
    return b"".join((*parts, _chunk(b"IEND", b"")))


def size(drawing: Drawing, ppi: float) -> tuple[int, int]:
    """Return columns and rows of the drawing with its bleed at `ppi`; raises OutputError when too many."""
    media = drawing.media
    columns, rows = (max(1, round(mm_to_px(side, ppi))) for side in (media.width, media.height))
    if columns > LONGEST_SIDE or columns * rows > MOST_PIXELS:
        message = f"{media.width:g} x {media.height:g} mm at {ppi:g} ppi is {columns} x {rows} pixels."
        raise OutputError(message, drawing.title, "Choose a lower resolution.")
    return columns, rows


def _image_data(drawing: Drawing, columns: int, rows: int) -> Iterator[bytes]:
    """Yield the zlib stream of the picture (RFC 1950), a band at a time.

    Most bands of a spread are blank. Each band is packed by itself (RFC 1951, with a full flush behind
    it), so that a blank one is packed once and its bytes used again.
    """
    scale = (columns / drawing.media.width, rows / drawing.media.height)
    above = np.zeros((columns, 4), np.uint8)
    checksum = zlib.adler32(b"")
    yield _ZLIB_HEADER
    for top in range(0, rows, BAND_ROWS):
        some = range(top, min(top + BAND_ROWS, rows))
        painted = strip(drawing, scale, columns, some)
        if painted is None and not above.any():
            stored, packed = _blank(columns, len(some))
        else:
            stored = _filtered(painted, above, len(some))
            packed = _packed(stored)
            above = _last_row(painted, columns)
        checksum = zlib.adler32(stored, checksum)
        yield packed
    yield _LAST_BLOCK + checksum.to_bytes(4, "big")


@lru_cache(maxsize=4)
def _blank(columns: int, rows: int) -> tuple[memoryview, bytes]:
    stored = _filtered(None, np.zeros((columns, 4), np.uint8), rows)
    return stored, _packed(stored)


def _packed(stored: memoryview) -> bytes:
    # Flat colours differ from the row above only at outlines: runs of zeros, which the run-length
    # strategy packs five times as fast as the usual search for repeats, and smaller.
    press = zlib.compressobj(level=1, wbits=-zlib.MAX_WBITS, strategy=zlib.Z_RLE)
    return press.compress(stored) + press.flush(zlib.Z_FULL_FLUSH)


def _filtered(painted: Strip | None, above: Rgba, rows: int) -> memoryview:
    """Return rows as PNG stores them: a filter byte, then what differs from the row above."""
    stored = np.zeros((rows, 1 + above.size), np.uint8)
    stored[:, 0] = _UP
    stored[0, 1:] -= above.ravel()
    if painted is not None:
        pixels = painted.pixels.reshape(rows, -1)
        here = stored[:, 1 + 4 * painted.left :][:, : pixels.shape[1]]
        here += pixels
        here[1:] -= pixels[:-1]
    return stored.data


def _last_row(painted: Strip | None, columns: int) -> Rgba:
    """Return the last row of a band, shape (columns, 4)."""
    row = np.zeros((columns, 4), np.uint8)
    if painted is not None:
        row[painted.left :][: painted.pixels.shape[1]] = painted.pixels[-1]
    return row


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
