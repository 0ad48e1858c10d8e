"""The ink of letters told once more from their kept crops, and parted by a stroke drawn across it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageChops, ImageDraw
from scipy.ndimage import binary_dilation

from lettering.capture.box import Box
from lettering.capture.ink.ink import find_ink
from lettering.capture.ink.pieces import EIGHT
from lettering.capture.letters.crop import MARGIN_PX, alone
from lettering.capture.page import PageImage
from lettering.errors import HandError

LEAST_INK = 12
"""Less ink than this, px, is no part of a letter: dust of four by three."""
REACH_PX = 1
"""Ink so far outside a traced outline is still its letter's: the edge runs between two pixels."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeptInk:
    """One letter's ink, cut free of its neighbours."""

    coverage: NDArray[np.float32]
    """Shape (h, w): about 0 on paper and 1 in ink, exactly 0 where other ink lies nearer."""
    picture: NDArray[np.uint8]
    """Shape (h, w): the grey picture as it looks, neighbours and all."""
    own: NDArray[np.bool_]
    """Shape (h, w): which pixels are the letter's ink."""
    left: int
    """Page column of the first column."""
    top: int
    """Page row of the first row."""
    noise: float
    """Standard deviation of coverage on blank paper."""


def kept_ink(
    picture: NDArray[np.uint8],
    *,
    left: int,
    top: int,
    polygons: Sequence[NDArray[np.float64]] | None,
    name: str,
) -> KeptInk:
    """Return the ink of a letter in its kept crop, whose first pixel lies at `left`, `top` of the page.

    `polygons` are its traced outlines, crop px; without them the ink that stands clear of the crop's edges is
    its own. Raises ReadingError when no ink can be told from the paper, HandError when none is the letter's.
    """
    ink = find_ink(PageImage(name=name, pixels=picture, ppi=None))
    whole = Box(0, 0, *picture.shape)
    inked = ink.mask()
    inner = np.zeros(picture.shape, dtype=np.bool_)
    inner[MARGIN_PX:-MARGIN_PX, MARGIN_PX:-MARGIN_PX] = True
    near = inner if polygons is None else binary_dilation(_filled(polygons, inked.shape), EIGHT, REACH_PX)
    own = inked & near
    if own.sum() < LEAST_INK:
        raise HandError("its kept picture shows no ink of it.", name, "Gather its page again.")
    return KeptInk(
        coverage=alone(ink.coverage(whole), inked, own),
        picture=picture,
        own=own,
        left=left,
        top=top,
        noise=ink.noise_near(whole),
    )


def parted(kept: KeptInk, stroke: NDArray[np.float64]) -> tuple[KeptInk, KeptInk]:
    """Return the two parts of a letter's ink on both sides of a `stroke`, shape (n, 2), px of its crop.

    The stroke goes on straight beyond its ends. The part that begins farther to the left is first. Raises
    HandError when it leaves all ink on one side.
    """
    side = _one_side(stroke, kept.own.shape)
    parts = [kept.own & side, kept.own & ~side]
    if min(part.sum() for part in parts) < LEAST_INK:
        hint = "Draw it through the ink, from paper to paper, between the two letters."
        raise HandError("the stroke leaves all ink on one side.", hint=hint)
    first, second = sorted((_part(kept, own) for own in parts), key=_begins)
    return first, second


def joined(first: KeptInk, second: KeptInk) -> KeptInk:
    """Return the ink of two crops of one page as that of one letter."""
    left, top = min(first.left, second.left), min(first.top, second.top)
    right = max(one.left + one.own.shape[1] for one in (first, second))
    bottom = max(one.top + one.own.shape[0] for one in (first, second))
    shape = (bottom - top, right - left)
    coverage, own = np.zeros(shape, dtype=np.float32), np.zeros(shape, dtype=np.bool_)
    # Between the crops no picture was kept; the paper stands in for it.
    paper = int(np.median(np.concatenate([one.picture[one.coverage < 0.1] for one in (first, second)])))
    picture = np.full(shape, paper, dtype=np.uint8)
    for one in (first, second):
        here = np.s_[one.top - top :, one.left - left :]
        within = np.s_[: one.own.shape[0], : one.own.shape[1]]
        coverage[here][within] = np.maximum(coverage[here][within], one.coverage)
        own[here][within] |= one.own
        picture[here][within] = one.picture
    noise = max(first.noise, second.noise)
    return KeptInk(coverage=coverage, picture=picture, own=own, left=left, top=top, noise=noise)


def _part(kept: KeptInk, own: NDArray[np.bool_]) -> KeptInk:
    """Return a part of a letter's ink in a crop of its own."""
    rows, columns = np.flatnonzero(own.any(axis=1)), np.flatnonzero(own.any(axis=0))
    top, left = max(rows[0] - MARGIN_PX, 0), max(columns[0] - MARGIN_PX, 0)
    crop = np.s_[top : rows[-1] + 1 + MARGIN_PX, left : columns[-1] + 1 + MARGIN_PX]
    return KeptInk(
        coverage=alone(kept.coverage, kept.own, own)[crop],
        picture=kept.picture[crop],
        own=own[crop],
        left=kept.left + int(left),
        top=kept.top + int(top),
        noise=kept.noise,
    )


def _begins(part: KeptInk) -> float:
    return part.left + float(np.flatnonzero(part.own.any(axis=0))[0])


def _one_side(stroke: NDArray[np.float64], shape: tuple[int, int]) -> NDArray[np.bool_]:
    """Return the pixels on one side of a stroke that goes on straight beyond its ends."""
    along = stroke[-1] - stroke[0]
    length = float(np.hypot(*along))
    if len(stroke) < 2 or length < 1:
        raise HandError("this is no stroke.", hint="Draw it from paper to paper, between the two letters.")
    far = 4 * sum(shape) * along / length
    aside = np.array([-far[1], far[0]])
    start, end = stroke[0] - far, stroke[-1] + far
    return _filled([np.array([start, *stroke, end, end + aside, start + aside])], shape)


def _filled(polygons: Sequence[NDArray[np.float64]], shape: tuple[int, int]) -> NDArray[np.bool_]:
    """Return the pixels whose middle lies inside polygons, px; those inside two lie in a hole."""
    image = Image.new("1", (shape[1], shape[0]))
    for polygon in polygons:
        one = Image.new("1", image.size)
        ImageDraw.Draw(one).polygon([(x, y) for x, y in (polygon - 0.5).tolist()], fill=1)
        image = ImageChops.logical_xor(image, one)
    return np.asarray(image, dtype=np.bool_)
