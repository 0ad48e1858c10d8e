"""How alike two drawings of a character are: which is the most typical, which does not belong."""

from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from lettering.hand.edges import Edges

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


def distances(pictures: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far pictures (n, cells) are apart, shape (n, n): 0 the same, 1 nothing in common."""
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


def pictures(edges: Edges) -> NDArray[np.float64]:
    """Return the soft picture of each letter, its ink's middle in the middle, its height kept; (n, cells)."""
    count = len(edges.bounds)
    middle = (edges.bounds[:, 0] + edges.bounds[:, 2]) / 2
    owner, row, x, sign = edges.crossings(_ROWS[0], CELL, len(_ROWS))
    across = len(_COLUMNS) + 1
    column = np.searchsorted(_COLUMNS, x - middle[owner])
    # Small whole numbers, for thousands of letters have millions of cells.
    crossings = np.zeros(count * len(_ROWS) * across, dtype=np.int16)
    np.add.at(crossings, (owner * len(_ROWS) + row) * across + column, sign.astype(np.int16))
    wound = np.cumsum(crossings.reshape(count, len(_ROWS), across), axis=2, dtype=np.int16)
    ink = (wound[:, :, :-1] != 0).astype(np.float64)
    # The blur of a row is a sum of its cells: as one product of matrices it takes a tenth of the time.
    return np.asarray(_blur(len(_ROWS)) @ ink @ _blur(len(_COLUMNS)).T).reshape(count, -1)


@cache
def _blur(cells: int) -> NDArray[np.float64]:
    """Return the matrix, shape (cells, cells), that softens a row of cells."""
    return np.asarray(gaussian_filter1d(np.eye(cells), SOFT, axis=0))
