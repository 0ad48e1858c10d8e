"""A brush: shapes from a few points, with the slow wobble of a hand, collected as one SVG picture.

Lengths are millimetres on the spread, y down. A shape is a list of points that its edge passes through on a
smooth curve. Figures are drawn in their own space (feet at 0, 0, looking right) and put in their place by
`Stand`.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
import svgwrite
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

Points = NDArray[np.float64]
Spots = Sequence[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Stand:
    """Where a figure stands and how large it is drawn."""

    x: float
    y: float
    scale: float = 1.0
    flip: bool = False
    """Whether it looks left."""
    turn: float = 0.0
    """Clockwise, degrees."""

    def place(self, points: Spots | Points) -> Points:
        """Return points of the figure's own space on the spread."""
        own = np.asarray(points, dtype=float) * [-self.scale if self.flip else self.scale, self.scale]
        angle = np.radians(self.turn)
        turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
        return np.asarray(own @ turn + [self.x, self.y])


PAGE = Stand(0, 0)


@dataclass(slots=True)
class Brush:
    """Paints washes and lines onto a picture, in order."""

    svg: svgwrite.Drawing
    rng: Generator
    ink: str = "#4a3230"
    at: Stand = PAGE
    touched: list[Points] = field(default_factory=list)
    """Edges of everything painted so far but light, mm."""

    def standing(self, at: Stand) -> "Brush":
        """Return the same brush in a figure's own space."""
        return Brush(self.svg, self.rng, self.ink, at)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, width and height of what this brush has painted, mm."""
        everything = np.concatenate(self.touched)
        (x0, y0), (x1, y1) = everything.min(axis=0), everything.max(axis=0)
        return float(x0), float(y0), float(x1 - x0), float(y1 - y0)

    def wash(
        self,
        spots: Spots,
        fill: str,
        *,
        to: str | None = None,
        edge: float = 0.0,
        opacity: float = 1.0,
        sharp: bool = False,
    ) -> None:
        """Fill a closed shape; `to` is the colour at its foot, `edge` the width of an inked outline."""
        outline = self.at.place(_closed(np.asarray(spots, dtype=float), sharp))
        outline += _wobble(len(outline), 0.28 * min(1.0, self.at.scale), self.rng)
        self._fill(outline, self._shade(fill, to), opacity)
        if edge:
            self._stroke(np.concatenate([outline, outline[:12]]), edge * self.at.scale, self.ink)

    def line(
        self, spots: Spots, width: float = 0.8, colour: str | None = None, *, even: bool = False
    ) -> None:
        """Draw an open line, fuller in the middle; `even` keeps its width to the ends."""
        points = self.at.place(_open(np.asarray(spots, dtype=float)))
        points += _wobble(len(points), 0.14 * min(1.0, self.at.scale), self.rng, closed=False)
        self._stroke(points, width * self.at.scale, colour or self.ink, even)

    def oval(self, x: float, y: float, rx: float, ry: float, fill: str, **how: object) -> None:
        """Fill an oval, drawn by hand."""
        angles = np.linspace(0, 2 * np.pi, 10)[:-1] + self.rng.uniform(0, 0.6)
        stray = 1 + self.rng.normal(0, 0.012, angles.size)
        spots = np.stack([x + rx * stray * np.cos(angles), y + ry * stray * np.sin(angles)], axis=1)
        self.wash([(float(a), float(b)) for a, b in spots], fill, **how)  # type: ignore[arg-type]

    def glow(self, x: float, y: float, radius: float, colour: str, strength: float) -> None:
        """Lay soft light round a point."""
        (place,) = self.at.place([(x, y)])
        paint = self.svg.radialGradient(id=self._name())
        for share, rest in ((0.0, 1.0), (0.35, 0.62), (0.6, 0.28), (0.8, 0.09), (1.0, 0.0)):
            paint.add_stop_color(share, colour, opacity=strength * rest)
        self.svg.defs.add(paint)
        self.svg.add(self.svg.circle(tuple(place), radius * self.at.scale, fill=paint.get_paint_server()))

    def _fill(self, points: Points, paint: str, opacity: float = 1.0) -> None:
        self.touched.append(points)
        path = "M" + "L".join(f"{x},{y}" for x, y in points.round(2).tolist()) + "Z"
        self.svg.add(self.svg.path(path, fill=paint, fill_opacity=opacity))

    def _stroke(self, points: Points, width: float, colour: str, even: bool = False) -> None:
        ahead = np.gradient(points, axis=0)
        across = np.stack([-ahead[:, 1], ahead[:, 0]], axis=1) / (np.hypot(*ahead.T)[:, None] + 1e-9)
        along = np.linspace(0, 1, len(points))
        press = np.ones_like(along) if even else 0.55 + 0.45 * np.sin(np.pi * along) ** 0.5
        press = press * (1 + 0.12 * _slow(len(points), 5, self.rng))
        half = across * (width / 2 * press)[:, None]
        self._fill(np.concatenate([points + half, (points - half)[::-1]]), colour)
        for end, share in ((points[0], press[0]), (points[-1], press[-1])):
            self.svg.add(self.svg.circle((float(end[0]), float(end[1])), width / 2 * share, fill=colour))

    def _shade(self, fill: str, to: str | None) -> str:
        if to is None:
            return fill
        paint = self.svg.linearGradient((0, 0), (0.15, 1), id=self._name())
        paint.add_stop_color(0.1, fill)
        paint.add_stop_color(1, to)
        self.svg.defs.add(paint)
        return str(paint.get_paint_server())

    def _name(self) -> str:
        return f"paint-{len(self.svg.defs.elements)}"


def _closed(points: Points, sharp: bool) -> Points:
    ring = np.concatenate([points, points[:1]])
    if sharp:
        return _straight(ring)
    return _spline(ring, "periodic")


def _open(points: Points) -> Points:
    return _straight(points) if len(points) == 2 else _spline(points, "natural")


def _straight(points: Points) -> Points:
    pieces = [np.linspace(a, b, 16, endpoint=False) for a, b in pairwise(points)]
    return np.concatenate([*pieces, points[-1:]])


def _spline(points: Points, ends: str) -> Points:
    steps = np.maximum(np.hypot(*np.diff(points, axis=0).T), 1e-6) ** 0.5
    places = np.concatenate([[0], np.cumsum(steps)])
    curve = CubicSpline(places, points, bc_type=ends)
    return np.asarray(curve(np.linspace(0, places[-1], 14 * len(points))))


def _wobble(count: int, size: float, rng: Generator, *, closed: bool = True) -> Points:
    """Return slow displacements along an edge, shape (count, 2), mm."""
    knots = max(4, count // 22)
    return size * np.stack([_slow(count, knots, rng, closed=closed) for _ in range(2)], axis=1)


def _slow(count: int, turns: int, rng: Generator, *, closed: bool = False) -> Points:
    """Return smooth noise, sd about 0.5, with up to `turns` / 2 waves; alike at both ends when closed."""
    times = np.arange(1, max(2, turns // 2) + 1) * (1.0 if closed else 0.9)
    swings, phases = rng.normal(0, 0.7 / len(times) ** 0.5, len(times)), rng.uniform(0, 2 * np.pi, len(times))
    return np.asarray(
        swings @ np.sin(2 * np.pi * np.outer(times, np.linspace(0, 1, count)) + phases[:, None])
    )
