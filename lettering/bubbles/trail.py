"""The tail of a thought: puffs that shrink toward the head."""

import numpy as np
from numpy.typing import NDArray

from lettering.bubbles.axis import Axis
from lettering.bubbles.bubble import Tail
from lettering.geometry.contour import Contour, Points
from lettering.geometry.point import Point

RADII_X_HEIGHTS = (0.72, 0.32)
"""Half widths of the puff nearest the body and of the last, in x-heights (house default)."""

GAP_X_HEIGHTS = 0.4
"""Clear distance between body and first puff, in x-heights."""

MOST_GAP_X_HEIGHTS = 1.6
"""Clear distance between puffs, in x-heights, beyond which a trail falls apart and has a puff more."""

PUFFS = range(3, 10)
"""How many puffs a trail may have."""

FLAT = 0.84
"""Height of a puff in its widths."""

QUARTER = 4 / 3 * (2**0.5 - 1)
"""Handles of a quarter circle, in radii: within 0.03 % of the circle."""


def trail(axis: Axis, x_height: float) -> Tail:
    """Return puffs along the axis, the last ending at its tip: three, or more where the way is long."""
    root, tip = axis.root[0], axis.tip[0]
    length = float(np.hypot(*(tip - root)))
    radii, apart = _strewn(length, x_height)
    # Equal gaps, not equal steps: a puff stands nearer to the small one before it than to the large.
    steps = np.concatenate([[0.0], np.cumsum(radii[:-1] + radii[1:] + apart)])
    ways = (length - radii[-1] - steps[-1] + steps) / max(length, 1e-9)
    puffs = [_puff(_along(axis, way), radius) for way, radius in zip(ways, radii, strict=True)]
    end = Point(float(tip[0]), float(tip[1]))
    return Tail(
        outline=puffs[-1], root=Point(float(root[0]), float(root[1])), tip=end, puffs=tuple(puffs[:-1])
    )


def _strewn(length: float, x_height: float) -> tuple[NDArray[np.float64], float]:
    """Return the half widths of the puffs of a trail so long, and the clear distance between them, mm."""
    least = GAP_X_HEIGHTS * x_height
    for count in PUFFS:
        radii = np.geomspace(*RADII_X_HEIGHTS, count) * x_height
        whole = least + 2 * radii.sum()
        shrink = min(1.0, length / (whole + (count - 1) * 0.6 * least))
        apart = (length - shrink * whole) / (count - 1)
        if apart <= MOST_GAP_X_HEIGHTS * x_height:
            break
    return radii * shrink, apart


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
