"""Whether more than one sheet lies in a picture: figures of paper and ink with desk between them."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy.ndimage import binary_dilation, distance_transform_edt

from lettering.capture.paper.edges import (
    LINES,
    PAPER_SHARE,
    Quad,
    Seen,
    figures,
    least_support,
    paper_ends,
)

LEAST_AREA = 0.06
"""Each of two sheets takes at least such a share of the picture."""
WHOLE = 0.8
"""Share of each side of a sheet along which the light changes."""
TRIED = 3
"""Best sheets beside which others are looked for."""
LIKE = 0.2
"""Two sheets of paper are as light as each other by so much (root of linear light)."""
SMALLER = 0.3
"""A figure of less than this share of the larger one's area is a label or a card beside the page."""
INK = 0.1
"""Ink is darker than its paper by so much (root of linear light), as it shows in the small copy …"""
INKED = (0.005, 0.4)
"""… and takes such a share of a lettered sheet."""
EDGE = (3.0, 7.0)
"""A sheet's margin lies so far inside its edges at least, px of the small copy …"""
BLANK = 0.03
"""… and less than this share of it is inked."""
REACH_PX = 3
"""An edge shows so far outside itself in the small copy, which is smoothed."""


@dataclass(frozen=True, slots=True, eq=False)
class _Sheet:
    inside: NDArray[np.bool_]
    """Shape of the small copy."""
    paper: float
    """Tone of its paper, root of linear light."""


def several_sheets(light: NDArray[np.float32]) -> bool:
    """Tell whether a picture of linear `light` (h, w) shows two lettered sheets with desk between them.

    The second is looked for where the first is not, since edges of both may lie on one line.
    """
    seen = Seen.of(light)
    return any(
        abs(one.paper - other.paper) < LIKE
        and SMALLER < other.inside.sum() / one.inside.sum() < 1 / SMALLER
        and not (one.inside & other.inside).any()
        for one in _sheets(seen)
        for other in _sheets(_without(seen, one))
    )


def _sheets(seen: Seen) -> list[_Sheet]:
    """Return the best lettered sheets in a picture."""
    found = (
        sheet
        for _, quad in figures(seen, LINES, LEAST_AREA)
        if least_support(quad, seen) >= WHOLE and paper_ends(seen.tone, quad) == 4
        for sheet in _lettered(quad, seen.tone)
    )
    return [sheet for sheet, _ in zip(found, range(TRIED), strict=False)]


def _without(seen: Seen, sheet: _Sheet) -> Seen:
    """Return the picture without the edges of a sheet and of what is on it."""
    rest = ~binary_dilation(sheet.inside, iterations=REACH_PX)
    return replace(seen, down=seen.down * rest, across=seen.across * rest)


def _lettered(quad: Quad, tone: NDArray[np.float32]) -> Iterator[_Sheet]:
    """Yield the sheet in a figure, when there is ink in it and none at its edge.

    Rows of lettering make figures too, but these have ink all along a side.
    """
    inside = _inside(quad, tone.shape)
    paper = float(np.quantile(tone[inside], PAPER_SHARE))
    ink = tone < paper - INK
    depth = distance_transform_edt(np.pad(inside, 1))[1:-1, 1:-1]
    margin = (depth > EDGE[0]) & (depth < EDGE[1])
    if INKED[0] < ink[inside].mean() < INKED[1] and ink[margin].mean() < BLANK:
        yield _Sheet(inside, paper)


def _inside(quad: Quad, shape: tuple[int, ...]) -> NDArray[np.bool_]:
    """Return the pixels inside a figure, shape (h, w)."""
    image = Image.new("1", (shape[1], shape[0]))
    ImageDraw.Draw(image).polygon([(x, y) for x, y in quad.tolist()], fill=1)
    return np.asarray(image, dtype=np.bool_)
