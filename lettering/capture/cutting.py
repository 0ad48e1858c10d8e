"""Letters run together in one piece of ink, cut apart where the join is thin."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

THICKEST_CUT = 1.5
"""A cut may cross as much ink as this many strokes' widths: more would take a stroke in two."""


def cut_apart(
    own: NDArray[np.bool_], widths: Sequence[float], stroke: float
) -> tuple[NDArray[np.bool_], ...] | None:
    """Return the ink `own` (h, w) in parts, left to right, about in proportion to `widths`; none if unsafe."""
    ends = np.cumsum(widths)[:-1] / np.sum(widths) * own.shape[1]
    rest, parts = own, []
    for end in ends:
        seam = _seam(own, float(end), slack=0.35 * own.shape[1] / len(widths))
        crossed = own[np.arange(len(seam)), seam].sum()
        if crossed > THICKEST_CUT * stroke:
            return None
        left = np.arange(own.shape[1])[None, :] < seam[:, None]
        parts.append(rest & left)
        rest = rest & ~left
    parts.append(rest)
    return tuple(parts) if all(part.any() for part in parts) else None


def _seam(own: NDArray[np.bool_], middle: float, slack: float) -> NDArray[np.intp]:
    """Return the column of the thinnest cut in each row, from top to bottom, stepping one column a row."""
    height, width = own.shape
    drift = ((np.arange(width) + 0.5 - middle) / slack) ** 2
    price = own.astype(float) + 0.05 * drift / height
    best = price[0] + np.where(np.abs(np.arange(width) + 0.5 - middle) > slack, np.inf, 0)
    came = np.zeros((height, width), dtype=np.intp)
    for y in range(1, height):
        ways = np.stack([np.concatenate([[np.inf], best[:-1]]), best, np.concatenate([best[1:], [np.inf]])])
        came[y] = ways.argmin(axis=0) - 1
        best = ways.min(axis=0) + price[y]
    seam = np.empty(height, dtype=np.intp)
    seam[-1] = int(best.argmin())
    for y in range(height - 1, 0, -1):
        seam[y - 1] = seam[y] + came[y, seam[y]]
    return seam
