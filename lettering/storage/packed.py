"""Art packed for PDF."""

import io
import zlib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageOps

from lettering.storage.facts import facts
from lettering.storage.images import opened, read_art

JPEG_QUALITY = 88
"""Of art in the reading PDF: no fault is seen at arm's length."""

_DATE = slice(24, 36)
"""When an ICC profile was made (ICC.1, 7.2.8)."""


def jpeg_bytes(pixels: NDArray[np.uint8]) -> bytes:
    """Return sRGB pixels (rows, columns, 3) as a JPEG file."""
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=JPEG_QUALITY)
    return file.getvalue()


@dataclass(frozen=True, slots=True, kw_only=True)
class FullArt:
    """Art with all its pixels, packed by zlib row by row."""

    columns: int
    rows: int
    colours: int
    """3 for sRGB, 4 for CMYK, which is left as it is."""
    data: bytes
    profile: bytes | None
    """ICC profile of its colours; none for CMYK that carries none."""


def art_in_full(path: Path) -> FullArt:
    """Return the art at `path`: CMYK as painted for the press, all else as sRGB on white paper.

    Raises ImageError as `read_art` does.
    """
    known = facts(path)
    if known.mode == "CMYK":
        with opened(path, 1) as image:
            pixels, colours, profile = np.asarray(ImageOps.exif_transpose(image)), 4, known.profile
    else:
        pixels, colours, profile = read_art(path, max(known.columns, known.rows)), 3, srgb_profile()
    rows, columns = pixels.shape[:2]
    data = zlib.compress(pixels.tobytes(), 1)
    return FullArt(columns=columns, rows=rows, colours=colours, data=data, profile=profile)


def srgb_profile() -> bytes:
    """Return an ICC profile of sRGB, without the date it would carry."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    profile[_DATE] = bytes.fromhex("07d000010001000000000000")  # 2000-01-01
    profile[84:100] = bytes(16)  # the profile's ID is a digest of what was there before
    return bytes(profile)
