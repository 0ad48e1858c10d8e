"""Feet of letters, row by row, on a page whose rows may bend and run askew.

Nothing is known of the page yet: letters are chained to their nearest neighbours, so that a row is followed
wherever it goes.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from lettering.capture.ink.pieces import Piece, Pieces

SHORTEST, TALLEST, WIDEST = 0.6, 3.0, 4.0
"""Ink of other height or width than that, in usual heights of a letter, tells nothing about rows."""
FARTHEST = 2.0
"""Widest gap across which letters are chained, usual heights: a space between words is 0.5 to 1.5."""
FEWEST = 6
"""A shorter chain of letters is no row."""
NEAR = 0.4
"""A letter within so many usual heights of a level row belongs to it."""
APART = 3.0
"""A step up or down counts so many times as much as a gap: rows lie one above the other."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Feet:
    """Where letters stand on the page, and in which row."""

    x: Floats
    """Shape (n,), page px."""
    y: Floats
    """Lowest ink of each letter, shape (n,), page px, y down."""
    row: NDArray[np.intp]
    """The chain that each letter belongs to, 0 up; -1 for none. A row parted by a wide gap is two chains."""
    unit: float
    """Usual height of a letter, px."""

    @property
    def rows(self) -> int:
        """How many chains there are."""
        return int(self.row.max(initial=-1)) + 1

    @property
    def standing(self) -> "Feet":
        """Those that belong to a row."""
        kept = self.row >= 0
        return replace(self, x=self.x[kept], y=self.y[kept], row=self.row[kept])

    def middles(self, values: Floats) -> Floats:
        """Return the median of each row's values, shape (rows,)."""
        return np.array([np.median(values[self.row == row]) for row in range(self.rows)])

    def gathered(self, heights: Floats) -> "Feet":
        """Return the feet in the rows that they are nearest to, where rows are level at last.

        `heights` is how far down the flat paper each foot is, shape (n,), px.
        """
        levels = np.sort(self.middles(heights))
        starts = np.flatnonzero(np.append(True, np.diff(levels) > self.unit))
        levels = np.array([part.mean() for part in np.split(levels, starts[1:])])
        off = np.abs(heights[:, None] - levels)
        row = np.where(off.min(axis=1) < NEAR * self.unit, off.argmin(axis=1), -1)
        used = np.unique(row[row >= 0])
        return replace(self, row=np.where(row >= 0, used.searchsorted(row), -1))


def find_feet(pieces: Pieces) -> Feet:
    """Return the feet of all letters of a page, chained into rows where that can be seen."""
    heights = [p.box.height for p in pieces.all if p.box.height > 2.5 * pieces.stroke_px]
    unit = float(np.median(heights)) if heights else pieces.stroke_px
    body = [
        piece
        for piece in pieces.all
        if SHORTEST * unit <= piece.box.height <= TALLEST * unit and piece.box.width <= WIDEST * unit
    ]
    chain = _chains(body, unit) if body else np.empty(0, dtype=np.intp)
    _, chain, size = np.unique(chain, return_inverse=True, return_counts=True)
    long = np.flatnonzero(size >= FEWEST)
    return Feet(
        x=np.array([_lowest(piece, pieces) for piece in body]),
        y=np.array([float(piece.box.bottom) for piece in body]),
        row=np.where(np.isin(chain, long), long.searchsorted(chain), -1),
        unit=unit,
    )


def _chains(body: list[Piece], unit: float) -> NDArray[np.intp]:
    """Return a number for each letter, alike for letters that are chained, each to its nearest on a side."""
    left, right, top, bottom = (
        np.array([getattr(piece.box, side) for piece in body], dtype=float)
        for side in ("left", "right", "top", "bottom")
    )
    middle, height = (left + right) / 2, bottom - top
    gap = left[None, :] - right[:, None]
    beside = np.minimum(bottom, bottom[:, None]) - np.maximum(top, top[:, None])
    step = np.minimum(np.abs(bottom - bottom[:, None]), np.abs(top - top[:, None]))
    price = np.maximum(gap, 0) + APART * step
    fits = (middle[None, :] > middle[:, None]) & (gap < FARTHEST * unit)
    fits &= beside > 0.4 * np.minimum(height, height[:, None])
    price = np.where(fits, price, np.inf)
    after, before = price.argmin(axis=1), price.argmin(axis=0)
    each = np.arange(len(body))
    mutual = (before[after] == each) & np.isfinite(price[each, after])
    links = coo_array((np.ones(mutual.sum()), (each[mutual], after[mutual])), shape=(len(body),) * 2)
    return np.asarray(connected_components(links, directed=False)[1], dtype=np.intp)


def _lowest(piece: Piece, pieces: Pieces) -> float:
    """Return where across a letter its lowest ink is, so that a sloping row does not shift its foot."""
    box = piece.box
    row = pieces.map[box.bottom - 1, box.left : box.right]
    return float(box.left + np.flatnonzero(row == piece.number).mean() + 0.5)
