"""How busy the art is under a box, from a map of its detail."""

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Points
from lettering.geometry.rect import Rect


def busyness(detail: Points, trim: Rect, boxes: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the mean detail, 0 quiet to 1 busy, under each of `boxes` (n, 4: x0, y0, x1, y1, mm).

    `detail` (rows, columns) covers `trim`. A summed-area table (Crow 1984) answers every box in four
    look-ups; parts outside the art count as quiet.
    """
    rows, columns = detail.shape
    table = np.zeros((rows + 1, columns + 1))
    table[1:, 1:] = detail.cumsum(axis=0).cumsum(axis=1)
    x = np.clip((boxes[:, [0, 2]] - trim.x0) / trim.width * columns, 0, columns)
    y = np.clip((boxes[:, [1, 3]] - trim.y0) / trim.height * rows, 0, rows)
    left, right, top, bottom = x[:, 0], x[:, 1], y[:, 0], y[:, 1]
    inside = (
        _at(table, bottom, right)
        - _at(table, top, right)
        - _at(table, bottom, left)
        + _at(table, top, left)
    )  # fmt: skip
    cell = trim.width / columns * trim.height / rows
    area = (boxes[:, 2] - boxes[:, 0]) * (boxes[:, 3] - boxes[:, 1])
    mean: NDArray[np.float64] = np.clip(inside * cell / np.maximum(area, 1e-9), 0.0, 1.0)
    return mean


def _at(table: Points, y: NDArray[np.float64], x: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the table between its entries, linear in each direction."""
    r = np.minimum(y.astype(int), table.shape[0] - 2)
    c = np.minimum(x.astype(int), table.shape[1] - 2)
    v, u = y - r, x - c
    upper = (1 - u) * table[r, c] + u * table[r, c + 1]
    lower = (1 - u) * table[r + 1, c] + u * table[r + 1, c + 1]
    value: NDArray[np.float64] = (1 - v) * upper + v * lower
    return value
