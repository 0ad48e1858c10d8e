"""The calmest convex outline that keeps between a least and a most air round some ink.

An outline is held by its support function h(φ), how far it reaches in each direction, as a Fourier
series. "At least so much air" is then h >= (that of the ink's hull) + air in every direction, "at most so
much" is the same with <=, and the radius of curvature is h + h'': all linear. Among all outlines that keep
them the one is taken that departs least from the hand's own idea of round, weighted by how fast its
radius changes. That is a least-distance programme, solved as Lawson & Hanson do it (Solving Least Squares
Problems, 1974, chapter 23: LDP by non-negative least squares).

All this happens in a frame stretched so that the ink's box is square. An ellipse is a circle there, and the
support function goes through the stretch unharmed: h(u) of the stretched outline is h(stretched u).
"""

from functools import cache

import numpy as np
from scipy.optimize import nnls

from lettering.bubbles.air import MOST_AIR, SIDE_SHARE
from lettering.bubbles.round import Floats, Round, harmonics
from lettering.geometry.contour import Points

DIRECTIONS = 72
"""Directions in which the air is asked for; between them it is measured and corrected afterwards."""

ORDERS = (12, 20, 32)
"""Highest harmonics tried in turn; long single rows need more than lenses."""

SHARPEST = 1.2
"""Least radius of curvature, in airs: nothing pointed."""

ODD = 2.5
"""How much dearer a departure is that makes top and bottom, or left and right, unlike."""


def calmest(ink: Points, *, air: float, most: float = MOST_AIR, round_: Floats | None = None) -> Round:
    """Return the calmest outline round the corners `ink` (n, 2), mm, that keeps `air` to `most` x `air`.

    `round_` is the hand's idea of round: cosines 2..4, then sines 2..4, in shares of the half size. When
    no outline of the allowed harmonics fits the band, the band is widened outward until one does.
    """
    centre = (ink.min(axis=0) + ink.max(axis=0)) / 2
    stretch = ink.max(axis=0) - centre + air * 1.2
    wanted = np.zeros(6) if round_ is None else round_
    for allowed in (most, most, 1.3 * most, 2 * most, 4 * most):
        for order in ORDERS:
            series = _least((ink - centre), stretch, air, allowed, order, wanted)
            if series is not None:
                return Round(series, stretch, centre)
    raise AssertionError("a disc round all ink always fits the widest band")


def _least(
    ink: Points, stretch: Floats, air: float, most: float, order: int, wanted: Floats
) -> Floats | None:
    """Return the series of least departure inside the band, or none when the band holds none."""
    phi = np.linspace(0, 2 * np.pi, DIRECTIONS, endpoint=False)
    normals = np.stack([np.cos(phi), np.sin(phi)], axis=1) / stretch
    scale = 1 / np.hypot(normals[:, 0], normals[:, 1])
    normals = normals * scale[:, None]
    hull = (normals @ ink.T).max(axis=1)
    least = (hull + air * (1 + SIDE_SHARE * normals[:, 0] ** 2)) / scale
    widest = (hull + air * max(most, 1 + SIDE_SHARE)) / scale
    reach, bend = _tables(order)
    # A radius r in the frame is r |stretched tangent| / (turn of the normal on paper) in mm.
    tangents = np.hypot(np.sin(phi) * stretch[0], np.cos(phi) * stretch[1])
    radius = bend * (tangents * stretch.prod() / scale**2)[:, None] / air
    weights = _weights(order)
    target = np.zeros(1 + 2 * order)
    target[[2, 3, 4, order + 2, order + 3, order + 4]] = wanted
    asked = np.concatenate([reach, -reach, radius])
    bounds = np.concatenate([least, -widest, np.full(DIRECTIONS, SHARPEST)]) - asked @ target
    step = _least_distance(asked / weights, bounds)
    return None if step is None else step / weights + target


def _least_distance(asked: Floats, bounds: Floats) -> Floats | None:
    """Return the shortest z with asked @ z >= bounds, or none when there is no such z."""
    table = np.concatenate([asked.T, bounds[None]])
    goal = np.zeros(len(table))
    goal[-1] = 1
    solution, rest = nnls(table, goal)
    if rest < 1e-7:
        return None
    residual: Floats = table @ solution - goal
    shortest: Floats = -residual[:-1] / residual[-1]
    return shortest


@cache
def _tables(order: int) -> tuple[Floats, Floats]:
    """Return reach and radius in the frame for each direction and harmonic."""
    phi = np.linspace(0, 2 * np.pi, DIRECTIONS, endpoint=False)
    reach = harmonics(phi, order, 0)
    return reach, reach + harmonics(phi, order, 2)


@cache
def _weights(order: int) -> Floats:
    """Return what each harmonic costs: how fast it makes the radius change, size and shift nearly free."""
    n = np.arange(2, order + 1)
    change = n * (n**2 - 1.0) * np.where(n % 2, ODD, 1.0)
    return np.concatenate([[0.3, 0.3], change, [0.3], change])
