"""The way that the row of a sound runs along: an arc, a wave, a rise, or through given points."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.book.line import Course
from lettering.geometry.affine import Affine
from lettering.geometry.contour import Points
from lettering.geometry.point import Point, Vector

Floats = NDArray[np.float64]

ARC = np.radians(75.0)
"""How far an arc turns from its first letter to its last. House default: a crest, not a wheel."""
WAVE_X_HEIGHTS = 10.0
"""Length of one wave: two or three letters up, as many down. House default."""
SWELL = 0.055
"""Height of a wave above its middle, in its length: it rises by 19 degrees at most. House default."""
RISE = (np.radians(5.0), np.radians(20.0))
"""How steeply a rising row begins and ends. House default."""
SAMPLES = 256
"""Points of a way: over 300 mm of a wave its chords leave it by 0.004 mm."""


@dataclass(frozen=True, slots=True, eq=False)
class Way:
    """A curve on the page, measured along its length."""

    points: Points
    """Shape (n, 2), mm, y down."""
    run: Floats
    """Shape (n,): length from the start to each point, mm."""

    @classmethod
    def through(cls, points: Points) -> "Way":
        """Return the way along the chords of `points`, dense enough to pass for a curve."""
        steps = np.diff(points, axis=0)
        return cls(points, np.concatenate([[0.0], np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))]))

    @property
    def length(self) -> float:
        """The whole length, mm."""
        return float(self.run[-1])

    def at(self, run: float) -> tuple[Floats, float]:
        """Return the point, shape (2,), at a length from the start, and the heading there in radians.

        Before its start and after its end a way goes straight on.
        """
        inside = min(max(run, 0.0), self.length)
        x, y = (float(np.interp(inside, self.run, self.points[:, axis])) for axis in (0, 1))
        heading = self._heading(inside)
        beyond = run - inside
        return np.array([x + beyond * np.cos(heading), y + beyond * np.sin(heading)]), heading

    def standing(self, run: float) -> Affine:
        """Return the map that stands upon the way, at a length from its start, what stands at the origin."""
        (x, y), heading = self.at(run)
        return Affine.translation(Vector(float(x), float(y))) @ Affine.rotation(heading)

    def _heading(self, run: float) -> float:
        """Return where the way heads at a length, turning evenly from chord to chord."""
        steps = np.diff(self.points, axis=0)
        middles = (self.run[1:] + self.run[:-1]) / 2
        return float(np.interp(run, middles, np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))))


def course(name: Course, length: float, x_height: float) -> Way:
    """Return the way of a named course for a row of a length, mm, about its middle."""
    along = (np.arange(SAMPLES + 1) / SAMPLES - 0.5) * length
    if name == "arc":
        turn = along / length * ARC
        radius = length / ARC
        return Way.through(np.stack([radius * np.sin(turn), radius * (1 - np.cos(turn))], axis=1))
    if name == "rising":
        heading = np.interp(along, [-length / 2, length / 2], RISE)
        step = length / SAMPLES
        return Way.through(np.stack([np.cumsum(np.cos(heading)), -np.cumsum(np.sin(heading))], axis=1) * step)
    if name == "wave":
        wave = min(WAVE_X_HEIGHTS * x_height, length)
        rise = SWELL * wave * np.sin(2 * np.pi * (along + length / 2) / wave)
        return Way.through(np.stack([along, -rise], axis=1))
    return straight(length)


def straight(length: float) -> Way:
    """Return a straight way of a length, mm, about its middle."""
    return Way.through(np.array([(-length / 2, 0.0), (length / 2, 0.0)]))


def free(points: Sequence[Point]) -> Way:
    """Return a smooth way through two or more different points, mm.

    The curve is the centripetal one of Catmull and Rom, which forms no loops (Yuksel, Schaefer and Keyser,
    "Parameterization and Applications of Catmull-Rom Curves", 2011).
    """
    given = np.array([(p.x, p.y) for p in points])
    ring = np.concatenate([[2 * given[0] - given[1]], given, [2 * given[-1] - given[-2]]])
    apart = np.linalg.norm(np.diff(ring, axis=0), axis=1) ** 0.5
    knots = np.concatenate([[0.0], np.cumsum(np.maximum(apart, 1e-6))])
    steps = max(SAMPLES // (len(given) - 1), 8)
    spans = [
        _span(ring[i : i + 4], knots[i : i + 4], np.linspace(knots[i + 1], knots[i + 2], steps + 1)[:-1])
        for i in range(len(given) - 1)
    ]
    return Way.through(np.concatenate([*spans, given[-1:]]))


def _span(p: Points, knots: Floats, t: Floats) -> Points:
    """Return points of the curve between the middle two of four points, after Barry and Goldman (1988)."""

    def mixed(a: Floats, b: Floats, i: int, j: int) -> Points:
        share = ((t - knots[i]) / (knots[j] - knots[i]))[:, None]
        return np.asarray(a + (b - a) * share)

    first = [mixed(p[i], p[i + 1], i, i + 1) for i in range(3)]
    second = [mixed(first[i], first[i + 1], i, i + 2) for i in range(2)]
    return mixed(second[0], second[1], 1, 2)
