"""A few pieces of ink, straight from a picture, by which is told what the camera did to it.

They are taken before the page is laid flat: what a phone does, it does to the pixels of its picture.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import find_objects, label

from lettering.capture.box import Box
from lettering.capture.ink.ink import Ink, find_ink
from lettering.capture.ink.pieces import EIGHT
from lettering.capture.light import Picture, encoded
from lettering.capture.page import PageImage
from lettering.errors import ReadingError

FEW = 4
"""Pieces that are enough: more tell little more."""
MIDDLE_PX = 5_000_000
"""Pixels in the middle of the picture that are looked at first."""
SIZES = (24, 320)
"""Least and most px that a piece is long: smaller ones show little edge, larger ones take time."""
MARGIN_PX = 12
"""Paper round a piece, free of other ink: more than blur and mask reach."""
EVEN = 1.1
"""Light changes by no more than this factor round a piece."""
DESK = 0.25
"""What is darker than this share of the picture's brightest paper may be a desk."""
TONES = np.linspace(-1, 2, 385)
"""Coverage for which the saved value is told."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Specimen:
    """One piece of ink with paper round it."""

    coverage: NDArray[np.float32]
    """Shape (h, w): 0 paper, 1 full ink, in linear light."""
    noise: float
    """Standard deviation of coverage on blank paper."""
    tone: NDArray[np.float64]
    """Shape (n,): the value saved for each coverage of TONES; 0 on paper, 1 in full ink."""


def specimens(page: PageImage) -> tuple[Specimen, ...]:
    """Return some pieces of ink of a picture; none of one without greys or without ink to be seen."""
    if np.count_nonzero(np.bincount(page.pixels[::3, ::3].ravel(), minlength=2)) <= 2:
        return ()
    grey = _luma(page.pixels)
    found = _found(replace(page, pixels=grey[_middle(grey.shape).slices]))
    if len(found) < FEW and grey.size > MIDDLE_PX:
        found = _found(replace(page, pixels=grey))
    return tuple(found)


def _luma(pixels: Picture) -> Picture:
    """Return the luma that JPEG keeps whole while it halves the colours (ITU-T T.871)."""
    if pixels.ndim == 2:
        return pixels
    scale = 257 if pixels.dtype == np.uint8 else 1
    luma = np.float32(0.299 * scale) * pixels[..., 0]
    luma += np.float32(0.587 * scale) * pixels[..., 1]
    luma += np.float32(0.114 * scale) * pixels[..., 2]
    return np.asarray(np.rint(luma), dtype=np.uint16)


def _middle(shape: tuple[int, ...]) -> Box:
    share = min(1.0, (MIDDLE_PX / (shape[0] * shape[1])) ** 0.5)
    top, left = (round(side * (1 - share) / 2) for side in shape)
    return Box(top, left, shape[0] - top, shape[1] - left)


def _found(page: PageImage) -> list[Specimen]:
    """Return pieces spread over a grey picture."""
    try:
        ink = find_ink(page)
    except ReadingError:
        return []
    pieces = list(_alone(ink))
    usual = np.median([area for _, area in pieces]) if pieces else 0
    boxes = [box for box, area in pieces if area >= usual / 2]
    places = np.linspace(0, len(boxes) - 1, min(FEW, len(boxes)))
    return [_specimen(ink, boxes[round(place)]) for place in places]


def _alone(ink: Ink) -> Iterator[tuple[Box, int]]:
    """Yield a box round each piece that stands alone on evenly lit paper, and the pixels of its ink."""
    numbers = np.asarray(label(ink.mask(), EIGHT)[0])
    darkest = DESK * float(np.quantile(ink.paper.level, 0.95))
    for number, (rows, columns) in enumerate(find_objects(numbers), start=1):
        if not SIZES[0] <= max(rows.stop - rows.start, columns.stop - columns.start) <= SIZES[1]:
            continue
        box = Box(
            rows.start - MARGIN_PX, columns.start - MARGIN_PX, rows.stop + MARGIN_PX, columns.stop + MARGIN_PX
        )
        if box != box.grown(0, ink.shape):
            continue
        crop, light = numbers[box.slices], ink.paper.within(box)
        own = crop == number
        if (crop[~own] == 0).all() and darkest < light.max() < EVEN * light.min():
            yield box, int(own.sum())


def _specimen(ink: Ink, box: Box) -> Specimen:
    paper = float(ink.paper.within(box).mean())
    light = np.clip(paper * (1 - ink.darkness * TONES), 0, 1).astype(np.float32)
    values = encoded(light).astype(np.float64)
    on_paper, in_ink = np.interp((0.0, 1.0), TONES, values)
    return Specimen(
        coverage=ink.coverage(box),
        noise=ink.noise_near(box),
        tone=(on_paper - values) / (on_paper - in_ink),
    )
