"""How far ink strays from a take of its letter: the one measure that sees a wrong cut wherever it is."""

from collections.abc import Callable
from itertools import product

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_erosion, distance_transform_edt

from lettering.capture.letters.laying import Model

FINE = 36.0
"""Ink is compared on so many steps an x-height."""
ROOM = 0.3
"""Paper kept round both, x-heights: past it far is far enough."""
LOOSEST = 0.04
"""How far a hand stretches, widens or slants a letter from take to take; a cut letter needs no more."""
STEEP = 6
"""Power mean by which a take is moved: the farthest ink counts most, and yet all of it leads the way."""

Points = NDArray[np.float64]
"""Shape (n, 2): down and across from the baseline's point under a letter's middle, steps."""
Move = NDArray[np.int_]
"""Shape (5,): down, across, taller, wider and slanted, each in steps at a letter's farthest end."""

Moves = NDArray[np.int_]
"""Shape (k, 5): some moves."""

_SHAPING = np.eye(5, dtype=np.int_)[2:]
_MOVES = np.array(
    [*(np.array([*way, 0, 0, 0]) for way in product((-1, 0, 1), repeat=2)), *_SHAPING, *-_SHAPING]
)


def straying(ink: Model, take: Model, unit: float) -> float:
    """Return how far the farthest ink of either lies from the other, x-heights of `unit` px.

    It is the Hausdorff distance of the two (Huttenlocher, Klanderman and Rucklidge, Comparing images using
    the Hausdorff distance, 1993), the take moved, stretched and slanted a little to where it lies best.
    """
    step = _step(unit)
    one, other = (
        _Outline(model.ink, (model.top, (model.ink.shape[1] - 1) / 2), step, unit) for model in (ink, take)
    )
    reach = max(one.reach, other.reach)

    def off(moves: Moves) -> NDArray[np.float64]:
        there, back = _moved(other.points, moves, reach), _moved(one.points, -moves, reach)
        return np.concatenate([one.away(*there), other.away(*back)], axis=1)

    return float(off(_closest(off, reach)[None]).max()) * step / unit


def _step(unit: float) -> int:
    return max(1, round(unit / FINE))


def _closest(off: Callable[[Moves], NDArray[np.float64]], reach: float) -> Move:
    """Return the move by which ink lies closest: downhill from none, a step at a time."""
    most = np.array([np.inf, np.inf, *[max(1.0, LOOSEST * reach)] * 3])
    best, least = np.zeros(5, dtype=np.int_), np.inf
    while True:
        near = best + _MOVES
        near = near[(abs(near) <= most).all(axis=1)]
        means = (off(near) ** STEEP).mean(axis=1)
        if means.min() >= least:
            return best
        least, best = means.min(), near[means.argmin()]


def _moved(places: Points, by: Moves, reach: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return down and across of n places after each of k moves, shape (k, n) both."""
    (y, x), (down, across, taller, wider, slant) = places.T, by.T[..., None]
    return down + y * (1 + taller / reach), across + x * (1 + wider / reach) + y * slant / reach


class _Outline:
    """The edge of some ink, and how far every place near it is from that ink."""

    def __init__(self, ink: NDArray[np.bool_], origin: tuple[float, float], step: int, unit: float) -> None:
        margin = int(ROOM * unit / step) + 1
        small = np.pad(ink[::step, ::step], margin)
        self.origin = margin + np.array(origin) / step
        self.nearest = np.asarray(distance_transform_edt(~small))
        self.points = np.argwhere(small & ~binary_erosion(small)) - self.origin
        self.reach = float(abs(self.points).max())

    def away(self, down: NDArray[np.float64], across: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return how far each place is from the ink; past the edge of the paper as far as that edge."""
        y, x = np.rint(down + self.origin[0]).astype(int), np.rint(across + self.origin[1]).astype(int)
        high, wide = self.nearest.shape
        return np.asarray(self.nearest[y.clip(0, high - 1), x.clip(0, wide - 1)])
