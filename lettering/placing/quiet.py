"""How busy the art is under each of many boxes, from its map of detail."""

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.rect import Rect


def busyness(detail: NDArray[np.float64], trim: Rect, boxes: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the mean detail under each box, (n,), 0 quiet to 1 busy.

    `detail` has shape (rows, columns) and covers `trim`; `boxes` has shape (n, 4): x0, y0, x1, y1 in mm.
    What lies outside the trim does not count; a box wholly outside counts as quiet.
    """
    rows, columns = detail.shape
    sums = np.pad(detail.cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))
    per_mm = np.array([columns / trim.width, rows / trim.height] * 2)
    x0, y0, x1, y1 = ((boxes - (trim.x0, trim.y0, trim.x0, trim.y0)) * per_mm).T
    left, right = (np.clip(e, 0, columns).astype(int) for e in (np.floor(x0), np.ceil(x1)))
    top, bottom = (np.clip(e, 0, rows).astype(int) for e in (np.floor(y0), np.ceil(y1)))
    total = sums[bottom, right] - sums[top, right] - sums[bottom, left] + sums[top, left]
    mean: NDArray[np.float64] = total / np.maximum((right - left) * (bottom - top), 1)
    return mean
