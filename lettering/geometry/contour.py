"""A closed outline of cubic Bézier pieces."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.affine import Affine
from lettering.geometry.point import Vector
from lettering.geometry.rect import Rect

Points = NDArray[np.float64]
"""An array of points, shape (n, 2): x, y."""

FLATNESS_MM = 0.01
"""Farthest a flattened curve may lie from the curve: a tenth of the finest line a press holds."""


@dataclass(frozen=True, slots=True, eq=False)
class Contour:
    """A closed outline of cubic Bézier pieces; equal when every coordinate is equal.

    A straight piece has its handles on the chord. The space (page or glyph) is the holder's matter.
    """

    knots: NDArray[np.float64]
    """Shape (n, 3, 2): for piece i its start, the handle leaving it, the handle arriving at start i + 1."""

    def __post_init__(self) -> None:
        if self.knots.ndim != 3 or self.knots.shape[1:] != (3, 2) or len(self.knots) < 1:
            raise ValueError(f"knots must have shape (n, 3, 2), not {self.knots.shape}")
        self.knots.setflags(write=False)

    @classmethod
    def polygon(cls, corners: Points) -> "Contour":
        """Return the outline of straight pieces through `corners`, shape (n, 2), closing by itself."""
        starts = np.asarray(corners, dtype=np.float64)
        step = np.roll(starts, -1, axis=0) - starts
        return cls(np.stack([starts, starts + step / 3, starts + step * 2 / 3], axis=1))

    @classmethod
    def rectangle(cls, rect: Rect) -> "Contour":
        """Return the outline of a rectangle."""
        return cls.polygon(
            np.array([(rect.x0, rect.y0), (rect.x1, rect.y0), (rect.x1, rect.y1), (rect.x0, rect.y1)])
        )

    def __len__(self) -> int:
        return len(self.knots)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Contour) and np.array_equal(self.knots, other.knots)

    def __hash__(self) -> int:
        return hash(self.knots.tobytes())

    @property
    def pieces(self) -> NDArray[np.float64]:
        """The Bézier pieces, shape (n, 4, 2): start, two handles, end."""
        pieces = np.empty((len(self.knots), 4, 2))
        pieces[:, :3] = self.knots
        pieces[:-1, 3], pieces[-1, 3] = self.knots[1:, 0], self.knots[0, 0]
        return pieces

    @property
    def straight(self) -> NDArray[np.bool_]:
        """Shape (n,): which pieces are straight, their handles on the chord and not past its ends."""
        return straight_pieces(self.pieces)

    @property
    def area(self) -> float:
        """Enclosed area by Green's theorem, exact; positive when it turns from x toward y."""
        p0, p1, p2, p3 = np.moveaxis(self.pieces, 1, 0)

        def cross(u: Points, v: Points) -> NDArray[np.float64]:
            return u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]

        # The integral of (x dy - y dx) / 2 over one cubic, collected by pairs of control points.
        twice = (
            6 * cross(p0, p1)
            + 3 * cross(p0, p2)
            + cross(p0, p3)
            + 3 * cross(p1, p2)
            + 3 * cross(p1, p3)
            + 6 * cross(p2, p3)
        ) / 10
        return float(twice.sum()) / 2

    @property
    def bounds(self) -> Rect:
        """The least upright rectangle round the curve itself, not round its handles."""
        points = np.concatenate([self.knots[:, 0], _extrema(self.pieces)])
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        return Rect(float(x0), float(y0), float(x1), float(y1))

    def flattened(self, tolerance: float = FLATNESS_MM) -> Points:
        """Return corners, shape (m, 2), of a polygon that stays within `tolerance` of the curve."""
        p = self.pieces
        # Wang's bound: n pieces keep a cubic within tolerance of its chords.
        bend = np.maximum(
            np.linalg.norm(p[:, 0] - 2 * p[:, 1] + p[:, 2], axis=1),
            np.linalg.norm(p[:, 1] - 2 * p[:, 2] + p[:, 3], axis=1),
        )
        counts = np.maximum(1, np.ceil(np.sqrt(0.75 * bend / tolerance))).astype(int)
        counts[self.straight] = 1
        which = np.repeat(np.arange(len(p)), counts)
        first = np.repeat(np.cumsum(counts) - counts, counts)
        t = (np.arange(len(which)) - first) / counts[which]
        return at(p[which], t)

    def transformed(self, by: Affine) -> "Contour":
        """Return the image of the outline; a mirroring map also turns its direction."""
        return Contour(by.apply(self.knots))

    def moved(self, step: Vector) -> "Contour":
        """Return the outline displaced by `step`."""
        return Contour(self.knots + (step.x, step.y))

    def reversed(self) -> "Contour":
        """Return the same outline run the other way, from the same start."""
        p = self.pieces[::-1, ::-1]
        return Contour(np.ascontiguousarray(p[:, :3]))


def at(pieces: NDArray[np.float64], t: NDArray[np.float64]) -> Points:
    """Return the points, shape (n, 2), of `pieces` (n, 4, 2) at parameters `t` (n,) in 0..1."""
    s, t = (1 - t)[:, None], t[:, None]
    points: Points = (
        s**3 * pieces[:, 0] + 3 * s**2 * t * pieces[:, 1] + 3 * s * t**2 * pieces[:, 2] + t**3 * pieces[:, 3]
    )
    return points


def straight_pieces(pieces: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which pieces (n, 4, 2) are straight, their handles on the chord and not past its ends."""
    chord = pieces[:, 3:] - pieces[:, :1]
    square = np.maximum((chord**2).sum(axis=2), 1e-24)
    handles = pieces[:, 1:3] - pieces[:, :1]
    share = np.clip((handles * chord).sum(axis=2) / square, 0.0, 1.0)
    off = ((handles - share[..., None] * chord) ** 2).sum(axis=2).max(axis=1)
    flat: NDArray[np.bool_] = off <= 1e-18 * np.maximum(square[:, 0], 1.0)
    return flat


def extrema_parameters(pieces: NDArray[np.float64]) -> list[NDArray[np.float64]]:
    """Return for each piece (n, 4, 2) the sorted t strictly inside 0..1 where x or y turns back."""
    d = np.diff(pieces, axis=1)
    a, b, c = d[:, 0] - 2 * d[:, 1] + d[:, 2], 2 * (d[:, 1] - d[:, 0]), d[:, 0]
    found = []
    for i in range(len(pieces)):
        roots = [r for axis in (0, 1) for r in _roots(a[i, axis], b[i, axis], c[i, axis])]
        found.append(np.array(sorted(r for r in roots if 1e-9 < r < 1 - 1e-9)))
    return found


def _extrema(pieces: NDArray[np.float64]) -> Points:
    parameters = extrema_parameters(pieces)
    which = np.repeat(np.arange(len(pieces)), [len(t) for t in parameters])
    return at(pieces[which], np.concatenate(parameters))


def _roots(a: float, b: float, c: float) -> list[float]:
    """Return the real roots of a t² + b t + c, without loss when a is small."""
    if abs(a) < 1e-12 * (abs(b) + abs(c)):
        return [-c / b] if b else []
    inside = b * b - 4 * a * c
    if inside < 0:
        return []
    q = -(b + (inside**0.5 if b >= 0 else -(inside**0.5))) / 2
    return [q / a, c / q] if q else [0.0]
