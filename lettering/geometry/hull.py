"""The convex hull of points: what a taut string round them would go along."""

import numpy as np

from lettering.geometry.compiled import compiled
from lettering.geometry.contour import Points


def hull_of(points: Points) -> Points:
    """Return the corners of the hull of `points` (n, 2), shape (m, 2), turning from x toward y.

    Two monotone chains (Andrew 1979): from left to right under the points, and back over them. Points that
    all lie on one line give its two ends, a single point itself.
    """
    order = np.lexsort((points[:, 1], points[:, 0]))
    corners = np.empty((2 * len(points), 2))
    count = _chained(points[order], corners)
    return corners[:count].copy()


@compiled
def _chained(sorted_: Points, corners: Points) -> int:
    """Fill in the corners of the hull of points sorted by x, then y; return how many."""
    count, base = 0, 0
    for way in range(2):
        for step in range(len(sorted_)):
            point = sorted_[step] if way == 0 else sorted_[len(sorted_) - 1 - step]
            x, y = point[0], point[1]
            if count > base and x == corners[count - 1, 0] and y == corners[count - 1, 1]:
                continue
            while count - base >= 2 and _turn(corners[count - 2], corners[count - 1], point) <= 0:
                count -= 1
            # Number by number: whole rows take seconds to compile, for what is said when they do not fit.
            corners[count, 0], corners[count, 1] = x, y
            count += 1
        # The end of one chain is the start of the other.
        count -= 1
        base = count
    return max(count, 1)


@compiled
def _turn(a: Points, b: Points, c: Points) -> float:
    """Return twice the area of a triangle, positive when it turns from x toward y."""
    return float((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))
