"""How alike two drawings of a character are: which is the most typical, which does not belong."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline

CELL = 25.0
"""Side of a cell of a letter's picture, font units."""
SOFT = 1.4
"""Blur of the picture, cells (sd): strokes that lie a third of a stem apart still look alike."""
FAR = 2.6
"""A drawing so many times as far from the others as they are from one another does not belong."""
LEAST_FAR = 0.62
"""… provided that it is at least this far: 0 is the same picture, 1 has no ink in common."""
LEAST_GROUP = 4
"""With fewer drawings nobody can say which is the odd one."""

_COLUMNS = (np.arange(48) - 23.5) * CELL
_ROWS = np.arange(-20, 44) * CELL + CELL / 2


def distances(outlines: Sequence[Outline]) -> NDArray[np.float64]:
    """Return how far the pictures of `outlines` are apart, shape (n, n): 0 the same, 1 nothing in common."""
    pictures = np.stack([_picture(outline).ravel() for outline in outlines])
    squares = (pictures**2).sum(axis=1)
    size = np.maximum(squares[:, None] + squares[None], 1e-12)
    apart = np.sqrt(np.maximum(size - 2 * pictures @ pictures.T, 0.0) / size)
    np.fill_diagonal(apart, 0.0)
    rounded: NDArray[np.float64] = np.round(apart, 6)
    return rounded


def by_typicality(apart: NDArray[np.float64]) -> list[int]:
    """Return indices from the drawing nearest all others to the farthest; the earlier one on a tie."""
    return [int(i) for i in np.argsort(apart.sum(axis=1), kind="stable")]


def strangers(apart: NDArray[np.float64]) -> dict[int, float]:
    """Return the drawings that do not belong, each with how many times too far it lies."""
    count = len(apart)
    if count < LEAST_GROUP:
        return {}
    usual = np.array([np.median(np.delete(apart[i], i)) for i in range(count)])
    # Drawings may be next to identical; nobody's hand is as steady as that allows to be asked for.
    middle = max(float(np.median(usual)), LEAST_FAR / FAR)
    return {i: round(float(usual[i] / middle), 2) for i in range(count) if usual[i] > FAR * middle}


def _picture(outline: Outline) -> NDArray[np.float64]:
    """Return the soft picture of a letter, its ink's middle in the middle, its height kept."""
    if not outline.contours:
        return np.zeros((len(_ROWS), len(_COLUMNS)))
    middle = outline.bounds.centre.x
    winding = sum((_winding(contour, middle) for contour in outline.contours), start=np.zeros(1))
    ink = (np.abs(winding) > 0.5).astype(np.float64)
    return np.asarray(gaussian_filter1d(gaussian_filter1d(ink, SOFT, axis=0), SOFT, axis=1))


def _winding(contour: Contour, middle: float) -> NDArray[np.float64]:
    """Return how often the contour winds round each cell's middle, shape (rows, columns)."""
    start = contour.flattened(3.0) - (middle, 0.0)
    end = np.roll(start, -1, axis=0)
    low, high = np.minimum(start[:, 1], end[:, 1]), np.maximum(start[:, 1], end[:, 1])
    edge, row = np.nonzero((low[:, None] <= _ROWS) & (high[:, None] > _ROWS))
    rise = end[edge, 1] - start[edge, 1]
    x = start[edge, 0] + (_ROWS[row] - start[edge, 1]) / rise * (end[edge, 0] - start[edge, 0])
    crossings = np.zeros((len(_ROWS), len(_COLUMNS) + 1))
    np.add.at(crossings, (row, np.searchsorted(_COLUMNS, x)), np.sign(rise))
    return np.asarray(np.cumsum(crossings, axis=1)[:, :-1])
