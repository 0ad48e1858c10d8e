"""Finding a printed sheet in a picture: where its marks are, what it asked for, and how the camera saw it.

A sheet carries its own reading in a QR code (ISO/IEC 18004) at its foot, and the first line of it in a small
one at its head. The two codes tell roughly how the paper lies; the middles of six discs tell it exactly.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import zxingcpp  # type: ignore[import-not-found, unused-ignore]
from numpy.typing import NDArray
from scipy.ndimage import label

from lettering.capture.page import PageImage
from lettering.capture.paper.projective import mapped, projective
from lettering.capture.paper.sheet_marks import DISC_MM, QR, Asked, Marks, asked_in
from lettering.errors import ReadingError
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect

Floats = NDArray[np.float64]

WINDOW = 2.6
"""Half the side of the window in which a disc is looked for, disc radii."""
FARTHEST_MM = 0.6
"""Farthest that a disc may lie from where the others say it should, after all."""
EDGE_MM = 4.0
"""Cut off all round, for there the paper ends and the desk begins."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FoundSheet:
    """A sheet in a picture."""

    asked: Asked
    to_picture: Floats
    """Shape (3, 3): takes (x, y, 1) in mm on the paper to px of the picture; pixel j covers j to j + 1."""


def find_sheet(page: PageImage) -> FoundSheet | None:
    """Return the sheet in a picture; none when there is no code of a sheet in it.

    Raises ReadingError when there is one and its marks cannot be found.
    """
    grey = _grey(page.pixels)
    codes = list(_codes(grey))
    asked = next((asked for asked, _ in codes if asked.reading.rows), None)
    if asked is None:
        return None
    marks = Marks.of(asked.size_mm)
    same = [(a, corners) for a, corners in codes if a.size_mm == asked.size_mm]
    known = [(marks.foot if a.reading.rows else marks.head, corners) for a, corners in same]
    on_paper = np.concatenate([_corners(box) for box, _ in known])
    rough = projective(on_paper, np.concatenate([corners for _, corners in known]))
    return FoundSheet(asked=asked, to_picture=_refined(grey, rough, marks, page.name))


def without_marks(flat: PageImage, asked: Asked) -> PageImage:
    """Return the flat page of a sheet as blue light shows it, its marks covered by paper, its edges cut off.

    Guides and prompts are printed in a blue that blue light shows no darker than paper.
    """
    pixels = flat.pixels if flat.pixels.ndim == 2 else flat.pixels[:, :, 2]
    clean, marks = pixels.copy(), Marks.of(asked.size_mm)
    scale = flat.pixels.shape[1] / asked.size_mm[0]
    reach = DISC_MM + 1.0
    discs = (Rect(d.x - reach, d.y - reach, d.x + reach, d.y + reach) for d in marks.discs)
    for box in (*discs, marks.head.inset(-1.0), marks.foot.inset(-1.0)):
        left, top, right, low = (max(round(edge * scale), 0) for edge in (box.x0, box.y0, box.x1, box.y1))
        # The paper just outside the mark, row by row, so that a fall of light goes on under it.
        around = clean[top:low, max(left - 6, 0) : right + 6]
        clean[top:low, left:right] = np.median(
            np.concatenate([around[:, :4], around[:, -4:]], axis=1), axis=1
        )[:, None]
    edge = round(EDGE_MM * scale)
    return PageImage(name=flat.name, pixels=clean[edge:-edge, edge:-edge], ppi=flat.ppi)


def _codes(grey: NDArray[np.uint8]) -> Iterator[tuple[Asked, Floats]]:
    """Yield the sheet's codes in a picture with their corners, px, clockwise from the top left."""
    for code in zxingcpp.read_barcodes(grey, formats=zxingcpp.BarcodeFormats(QR)):
        if asked := asked_in(code.text):
            at = code.position
            corners = (at.top_left, at.top_right, at.bottom_right, at.bottom_left)
            yield asked, np.array([(corner.x, corner.y) for corner in corners], dtype=float)


def _refined(grey: NDArray[np.uint8], rough: Floats, marks: Marks, name: str) -> Floats:
    """Return the map that the discs tell, found where the rough map expects them."""
    on_paper = np.array([(disc.x, disc.y) for disc in marks.discs])
    matrix = rough
    for _ in range(2):  # the second time the windows lie where the discs really are
        seen = [_disc(grey, matrix, disc) for disc in marks.discs]
        found = np.array([i for i, at in enumerate(seen) if at is not None], dtype=int)
        if len(found) < 4:
            raise ReadingError("the round marks of the sheet cannot be seen", name, "Show the whole sheet.")
        in_picture = np.array([seen[i] for i in found], dtype=np.float64)
        matrix = projective(on_paper[found], in_picture)
    back = np.asarray(np.linalg.inv(matrix), dtype=np.float64)
    off = mapped(back, in_picture) - on_paper[found]
    if float(np.hypot(off[:, 0], off[:, 1]).max()) > FARTHEST_MM:
        raise ReadingError("the sheet is not flat in this picture", name, "Lay it flat and take it again.")
    return matrix


def _disc(grey: NDArray[np.uint8], matrix: Floats, disc: Point) -> tuple[float, float] | None:
    """Return the middle of the dark spot near where a disc is expected, px."""
    reach = DISC_MM * WINDOW
    corners = mapped(matrix, _corners(Rect(disc.x - reach, disc.y - reach, disc.x + reach, disc.y + reach)))
    (left, top), (right, low) = (
        np.floor(corners.min(axis=0)).astype(int),
        np.ceil(corners.max(axis=0)).astype(int),
    )
    if (
        left < 0
        or top < 0
        or right > grey.shape[1]
        or low > grey.shape[0]
        or min(right - left, low - top) < 8
    ):
        return None
    window = grey[top:low, left:right].astype(float)
    dark, light = np.quantile(window, [0.04, 0.75])
    share = np.clip((light - window) / max(light - dark, 1.0), 0.0, 1.0)
    spots, count = label(share > 0.5)
    sizes = np.bincount(spots.ravel(), minlength=count + 1)[1:]
    if light - dark < 30 or not count:
        return None
    y, x = np.nonzero(_grown(spots == 1 + int(sizes.argmax())))
    weight = share[y, x]
    return float(weight @ (x + 0.5) / weight.sum() + left), float(weight @ (y + 0.5) / weight.sum() + top)


def _grown(spot: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return a spot with the pixels round it, whose grey tells where its edge lies."""
    padded = np.pad(spot, 1)
    grown: NDArray[np.bool_] = np.logical_or.reduce(
        [
            padded[1 + i : padded.shape[0] - 1 + i, 1 + j : padded.shape[1] - 1 + j]
            for i in (-1, 0, 1)
            for j in (-1, 0, 1)
        ]
    )
    return grown


def _grey(pixels: NDArray[np.uint8] | NDArray[np.uint16]) -> NDArray[np.uint8]:
    eight = (pixels >> 8).astype(np.uint8) if pixels.dtype == np.uint16 else pixels.astype(np.uint8)
    grey: NDArray[np.uint8] = np.ascontiguousarray(eight if eight.ndim == 2 else eight[:, :, 1])
    return grey


def _corners(box: Rect) -> Floats:
    """Return the corners (4, 2), clockwise on the page from the top left."""
    return np.array([(box.x0, box.y0), (box.x1, box.y0), (box.x1, box.y1), (box.x0, box.y1)])
