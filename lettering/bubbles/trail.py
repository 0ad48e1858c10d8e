"""The tail of a thought: puffs that shrink toward the head."""

import numpy as np

from lettering.bubbles.axis import Axis
from lettering.bubbles.bubble import Tail
from lettering.geometry.contour import Contour, Points
from lettering.geometry.point import Point

RADII_X_HEIGHTS = (0.72, 0.5, 0.32)
"""Half widths of the puffs, the one nearest the body first, in x-heights (house default)."""

GAP_X_HEIGHTS = 0.4
"""Clear distance between body and first puff, in x-heights."""

FLAT = 0.84
"""Height of a puff in its widths."""

QUARTER = 4 / 3 * (2**0.5 - 1)
"""Handles of a quarter circle, in radii: within 0.03 % of the circle."""


def trail(axis: Axis, x_height: float) -> Tail:
    """Return three puffs along the axis, the last ending at its tip; smaller where there is little room."""
    root, tip = axis.root[0], axis.tip[0]
    length = float(np.hypot(*(tip - root)))
    radii, gap = np.array(RADII_X_HEIGHTS) * x_height, GAP_X_HEIGHTS * x_height
    shrink = min(1.0, length / (gap + 2 * radii.sum() + 2 * 0.6 * gap))
    radii, gap = radii * shrink, gap * shrink
    first, last = gap + radii[0], length - radii[2]
    # Equal gaps, not equal steps: the middle puff stands nearer to the small one.
    free = (last - first - radii[0] - 2 * radii[1] - radii[2]) / 2
    ways = np.array([first, first + radii[0] + free + radii[1], last]) / max(length, 1e-9)
    puffs = [_puff(_along(axis, way), radius) for way, radius in zip(ways, radii, strict=True)]
    end = Point(float(tip[0]), float(tip[1]))
    return Tail(
        outline=puffs[-1], root=Point(float(root[0]), float(root[1])), tip=end, puffs=tuple(puffs[:-1])
    )


def _along(axis: Axis, t: float) -> Points:
    s = 1 - t
    return np.asarray(s * s * axis.root[0] + 2 * s * t * axis.elbow[0] + t * t * axis.tip[0])


def _puff(centre: Points, radius: float) -> Contour:
    """Return a lying ellipse."""
    corners = np.array([(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)])
    ahead = np.array([(0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0)]) * QUARTER
    ends = np.roll(corners, -1, axis=0)
    knots = np.stack([corners, corners + ahead, ends - np.roll(ahead, -1, axis=0)], axis=1)
    return Contour(knots * (radius * np.array([1.0, FLAT])) + centre)
