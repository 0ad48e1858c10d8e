"""The corners of a lettered page in its photo: where they are seen, and the page laid flat by those given."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lettering.capture.light import linear
from lettering.capture.page import PageImage
from lettering.capture.paper.edges import paper_corners
from lettering.capture.paper.flatten import flattened
from lettering.capture.paper.photo import ANY_SIDE_MM, proportion, to_picture
from lettering.capture.paper.sizes import paper_mm
from lettering.errors import ImageError
from lettering.steps.sharpening import without_sharpening
from lettering.storage.atomic import write_bytes
from lettering.storage.images import png_bytes, read_art
from lettering.storage.packed import jpeg_bytes
from lettering.storage.scans import read_scan

LEAST_SHARE = 0.02
"""Least share of its picture that a page takes; four corners round less are a slip of the hand."""


def seen_corners(path: Path) -> dict[str, Any]:
    """Return the picture's size, px, and the page's corners in it, clockwise from the upper left; or none."""
    page = read_scan(path)
    rows, columns = page.pixels.shape[:2]
    found = paper_corners(linear(page.pixels)) if page.ppi is None else None
    corners = None if found is None else found.round(1).tolist()
    return {"size": [columns, rows], "corners": corners}


def page_picture(path: Path, longest: int) -> bytes:
    """Return the picture of a lettered page as JPEG, no side longer than `longest` px."""
    return jpeg_bytes(read_art(path, longest))


def laid_by_corners(path: Path, corners: Sequence[Sequence[float]], paper: str | None) -> Path:
    """Write the page of a photo, laid flat by its four `corners`, px, beside it, and return that file.

    With the size of the `paper` the flat page has its proportion, else that which the corners show. Raises
    ImageError when the corners are round no page.
    """
    page = without_sharpening(read_scan(path))
    quad = np.array(corners, dtype=float)
    _check(quad, page)
    shape = proportion(quad, (page.pixels.shape[1], page.pixels.shape[0]))
    size = ANY_SIDE_MM * np.sqrt(shape), ANY_SIDE_MM / np.sqrt(shape)
    if paper:
        short, long = paper_mm(paper)
        size = (short, long) if shape < 1 else (long, short)
    flat = flattened(page, to_picture(quad, size), size)
    pixels = flat.pixels >> 8 if flat.pixels.dtype == np.uint16 else flat.pixels
    out = path.with_name(f"{path.stem}-flat.png")
    write_bytes(out, png_bytes(pixels.astype(np.uint8)))
    return out


def _check(quad: NDArray[np.float64], page: PageImage) -> None:
    """Raise ImageError unless four corners run clockwise round a convex part of the picture."""
    hint = "Pull each handle to its own corner of the paper."
    if quad.shape != (4, 2) or not np.isfinite(quad).all():
        raise ImageError("a page has four corners.", page.name, hint)
    sides = np.roll(quad, -1, axis=0) - quad
    following = np.roll(sides, -1, axis=0)
    turns = sides[:, 0] * following[:, 1] - sides[:, 1] * following[:, 0]
    around = np.roll(quad, -1, axis=0)
    area = abs(float((quad[:, 0] * around[:, 1] - quad[:, 1] * around[:, 0]).sum())) / 2
    if (turns <= 0).any() or area < LEAST_SHARE * page.pixels.shape[0] * page.pixels.shape[1]:
        raise ImageError("these corners are round no page.", page.name, hint)
