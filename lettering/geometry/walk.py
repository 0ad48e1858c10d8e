"""A walk along an outline: places on it by the distance from its start."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour, Points, at
from lettering.geometry.point import Point, Vector

STEPS = 16
"""Chords to a piece: the length of a quarter circle comes out within 0.04 %."""


@dataclass(frozen=True, slots=True, eq=False)
class Walk:
    """An outline with the way along it measured; a place is (piece + t), from 0 to the number of pieces."""

    contour: Contour
    places: NDArray[np.float64]
    """Shape (m,): sampled places, rising from 0 to the number of pieces."""
    points: Points
    """Shape (m, 2): where they are."""
    ways: NDArray[np.float64]
    """Shape (m,): distance walked from the start to each."""

    @classmethod
    def along(cls, contour: Contour, steps: int = STEPS) -> "Walk":
        """Return the walk along `contour`, each piece measured by `steps` chords."""
        t = np.tile(np.arange(steps) / steps, len(contour))
        points = at(np.repeat(contour.pieces, steps, axis=0), t)
        points = np.concatenate([points, points[:1]])
        chords = np.diff(points, axis=0)
        ways = np.concatenate([[0.0], np.cumsum(np.hypot(chords[:, 0], chords[:, 1]))])
        return cls(contour, np.arange(len(points)) / steps, points, ways)

    @property
    def length(self) -> float:
        """The whole way round."""
        return float(self.ways[-1])

    def place(self, way: float) -> float:
        """Return the place at a distance `way` from the start, going round as often as needed."""
        return float(np.interp(way % self.length, self.ways, self.places))

    def way(self, place: float) -> float:
        """Return the distance from the start to `place`."""
        return float(np.interp(place % len(self.contour), self.places, self.ways))

    def point(self, place: float) -> Point:
        """Return the point of the outline at `place`."""
        piece, t = self._piece(place)
        x, y = at(piece[None], np.array([t]))[0]
        return Point(float(x), float(y))

    def tangent(self, place: float) -> Vector:
        """Return the unit vector of the walk at `place`; its start direction at a corner."""
        piece, t = self._piece(place)
        d = np.diff(piece, axis=0)
        x, y = (1 - t) ** 2 * d[0] + 2 * t * (1 - t) * d[1] + t**2 * d[2]
        return Vector(float(x), float(y)).unit()

    def nearest(self, point: Point) -> float:
        """Return the place closest to `point`, exact for a point on the outline."""
        q = np.array([point.x, point.y])
        start, step = self.points[:-1], np.diff(self.points, axis=0)
        squares = np.maximum((step**2).sum(axis=1), 1e-24)
        share = np.clip(((q - start) * step).sum(axis=1) / squares, 0, 1)
        apart = ((start + step * share[:, None] - q) ** 2).sum(axis=1)
        i = int(np.argmin(apart))
        piece, t = divmod(float(self.places[i] + share[i] * (self.places[i + 1] - self.places[i])), 1)
        near = self._settled(q, int(piece), t)
        if near % 1 > 0:
            return near
        # It may go on across the node that it came to.
        node, count = round(near), len(self.contour)
        both = (self._settled(q, (node - 1) % count, 1.0), self._settled(q, node % count, 0.0))
        return min(both, key=lambda place: (self.point(place) - point).length)

    def _settled(self, q: NDArray[np.float64], index: int, t: float) -> float:
        """Return the place near `t` on a piece where the way to `q` is square to it, by Newton steps."""
        piece = self.contour.pieces[index % len(self.contour)]
        d, dd = np.diff(piece, axis=0), np.diff(piece, n=2, axis=0)
        for _ in range(6):
            off = at(piece[None], np.array([t]))[0] - q
            first = 3 * ((1 - t) ** 2 * d[0] + 2 * t * (1 - t) * d[1] + t**2 * d[2])
            square = float(first @ first)
            slope = square + float(off @ (6 * ((1 - t) * dd[0] + t * dd[1])))
            if square < 1e-18:
                break
            t = min(max(t - float(off @ first) / max(slope, 0.1 * square), 0.0), 1.0)
        return index % len(self.contour) + t

    def _piece(self, place: float) -> tuple[NDArray[np.float64], float]:
        index = int(place % len(self.contour))
        return self.contour.pieces[index], place % len(self.contour) - index

    def between(self, start: float, end: float) -> NDArray[np.float64]:
        """Return the pieces, shape (k, 4, 2), of the walk from place `start` forward to place `end`."""
        count = len(self.contour)
        start %= count
        end = end % count if end % count > start else end % count + count
        marks = [start, *range(int(start) + 1, int(np.ceil(end))), end]
        pieces = self.contour.pieces
        return np.array(
            [
                portion(pieces[int(a) % count], a - int(a), b - int(a))
                for a, b in pairwise(marks)
                if b - a > 1e-9
            ]
        )


def portion(piece: NDArray[np.float64], start: float, end: float) -> NDArray[np.float64]:
    """Return the part of a cubic piece, shape (4, 2), from parameter `start` to `end`."""
    if end < 1:
        piece = _cut(piece, end)[0]
    return _cut(piece, start / end)[1] if start > 0 else piece


def _cut(p: NDArray[np.float64], t: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return both sides of a cubic cut at `t`, after de Casteljau."""
    a = p[:-1] + t * (p[1:] - p[:-1])
    b = a[:-1] + t * (a[1:] - a[:-1])
    c = b[0] + t * (b[1] - b[0])
    return np.array([p[0], a[0], b[0], c]), np.array([c, b[1], a[2], p[3]])
