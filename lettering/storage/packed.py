"""Pictures packed for other programs: line art as TIFF, art for PDF."""

import io
import zlib
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms, TiffImagePlugin

from lettering.storage.facts import facts
from lettering.storage.images import read_art

JPEG_QUALITY = 88
"""Of art in the reading PDF: no fault is seen at arm's length."""

_DATE = slice(24, 36)
"""When an ICC profile was made (ICC.1, 7.2.8)."""


def bilevel_tiff(bits: NDArray[np.uint8], columns: int, ppi: float) -> bytes:
    """Return packed bits (rows, columns / 8), 1 for ink, as a TIFF in CCITT Group 4 (TIFF 6.0)."""
    picture = Image.frombytes("1", (columns, len(bits)), np.bitwise_not(bits).tobytes())
    tags = TiffImagePlugin.ImageFileDirectory_v2()
    tags[282], tags[283], tags[296] = float(ppi), float(ppi), 2  # XResolution, YResolution, inches
    file = io.BytesIO()
    picture.save(file, "TIFF", compression="group4", tiffinfo=tags)
    return file.getvalue()


def jpeg_bytes(pixels: NDArray[np.uint8]) -> bytes:
    """Return sRGB pixels (rows, columns, 3) as a JPEG file."""
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=JPEG_QUALITY)
    return file.getvalue()


def art_in_full(path: Path) -> tuple[int, int, bytes, bytes]:
    """Return columns, rows, zlib-packed sRGB values and the sRGB profile of art, none of its pixels lost.

    Raises ImageError as `read_art` does.
    """
    known = facts(path)
    pixels = read_art(path, max(known.columns, known.rows))
    return pixels.shape[1], pixels.shape[0], zlib.compress(pixels.tobytes(), 1), srgb_profile()


def srgb_profile() -> bytes:
    """Return an ICC profile of sRGB, without the date it would carry."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    profile[_DATE] = bytes.fromhex("07d000010001000000000000")  # 2000-01-01
    profile[84:100] = bytes(16)  # the profile's ID is a digest of what was there before
    return bytes(profile)
