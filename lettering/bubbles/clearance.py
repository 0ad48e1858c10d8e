"""How much air an outline keeps round ink, measured on the outline as it is drawn."""

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.compiled import compiled
from lettering.geometry.contour import Contour, Points

Floats = NDArray[np.float64]

STEPS = 96
"""Points of each piece that are measured. Between two that lie 0.4 mm apart an outline comes nearer to a
corner 4 mm away by 0.005 mm at most; those of a body lie a third as far apart, and a ninth as wrong."""


def clearance(outline: Contour, corners: Points) -> float:
    """Return the least distance, mm, from the convex polygon `corners` to `outline`; negative if it is cut.

    The polygon turns from x toward y; the outline goes round it, or cuts it.
    """
    side = np.diff(corners, axis=0, append=corners[:1])
    length = np.hypot(side[:, 0], side[:, 1])
    return float(_least(outline.pieces, np.ascontiguousarray(corners), side / length[:, None], length))


@compiled
def _least(pieces: Floats, corners: Points, along: Points, length: Floats) -> float:
    least = np.inf
    for piece in range(len(pieces)):
        p = pieces[piece]
        # No point is farther from the next than the longest handle allows, nor its distance more different.
        longest = 0.0
        for i in range(3):
            longest = max(longest, np.hypot(p[i + 1, 0] - p[i, 0], p[i + 1, 1] - p[i, 1]))
        stride = 3 * longest / STEPS
        step = 0
        while step < STEPS:
            x, y = _at(p, step / STEPS)
            off = _off(x, y, corners, along, length)
            least = min(least, off)
            step += max(1, int((off - least) / stride)) if stride > 0 else STEPS
    return least


@compiled
def _at(p: Points, t: float) -> tuple[float, float]:
    """Return the point of a cubic piece at `t`."""
    s = 1 - t
    a, b, c, d = s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t
    x = a * p[0, 0] + b * p[1, 0] + c * p[2, 0] + d * p[3, 0]
    return x, a * p[0, 1] + b * p[1, 1] + c * p[2, 1] + d * p[3, 1]


@compiled
def _off(x: float, y: float, corners: Points, along: Points, length: Floats) -> float:
    """Return the distance of a point from a convex polygon; inside, the negative of its depth."""
    out, near = -np.inf, np.inf
    for i in range(len(corners)):
        dx, dy = x - corners[i, 0], y - corners[i, 1]
        run = dx * along[i, 0] + dy * along[i, 1]
        beyond = run - min(max(run, 0.0), length[i])
        across = dx * along[i, 1] - dy * along[i, 0]
        out = max(out, across)
        near = min(near, across * across + beyond * beyond)
    return out if out < 0 else np.sqrt(near)
