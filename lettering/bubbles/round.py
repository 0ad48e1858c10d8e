"""A convex outline held by how far it reaches in each direction, and its drawing as few cubics."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour, Points
from lettering.geometry.fit import FIT_MM, fit_pieces

Floats = NDArray[np.float64]

GRID = 72
"""Places round the outline where a piece may end."""

FINE = 4
"""Points of the outline to a step of the grid."""

LONGEST = 15
"""Steps of the grid that one piece spans at most: a fifth of the way round."""

SHORT = 0.2
"""Least length of a handle in chords; an arc's are a third, and shorter ones turn hard at the joint."""

SAMPLES = 9
"""Points of each piece that its handles are fitted to."""


@dataclass(frozen=True, slots=True, eq=False)
class Round:
    """A convex outline: its support function as a Fourier series in a stretched frame, and the stretch."""

    series: Floats
    """Shape (1 + 2 order,): constant, then cosines 1..order, then sines 1..order."""
    stretch: Floats
    """Shape (2,): mm along x and y for 1 in the frame."""
    centre: Floats
    """Shape (2,): the frame's origin, mm."""

    def points(self, phi: Floats) -> Points:
        """Return the outline's points, mm, whose outward normals in the frame lie at angles `phi`."""
        reach, slope = (harmonics(phi, self._order, k) @ self.series for k in (0, 1))
        c, s = np.cos(phi), np.sin(phi)
        return np.stack([reach * c - slope * s, reach * s + slope * c], axis=1) * self.stretch + self.centre

    def velocities(self, phi: Floats) -> Points:
        """Return the derivatives of `points` by phi, mm a radian."""
        radius = self.radius(phi)
        return np.stack([-np.sin(phi) * radius, np.cos(phi) * radius], axis=1) * self.stretch

    def radius(self, phi: Floats) -> Floats:
        """Return the radius of curvature in the frame, shape (len(phi),)."""
        radius: Floats = (harmonics(phi, self._order, 0) + harmonics(phi, self._order, 2)) @ self.series
        return radius

    def grown(self, share: float) -> "Round":
        """Return the outline stretched about its centre by a share of its size."""
        return Round(self.series * (1 + share), self.stretch, self.centre)

    @property
    def _order(self) -> int:
        return len(self.series) // 2


def harmonics(phi: Floats, order: int, derivative: int) -> Floats:
    """Return the harmonics (len(phi), 1 + 2 order) at `phi`, or their first or second derivatives."""
    n = np.arange(order + 1)
    turned = np.outer(phi, n) + derivative * np.pi / 2
    factor = n.astype(float) ** derivative
    cosines, sines = np.cos(turned) * factor, np.sin(turned) * factor
    return np.concatenate([cosines, sines[:, 1:]], axis=1)


def cubics(ideal: Round, tolerance: float = FIT_MM) -> Contour:
    """Return the outline in as few pieces as a grid of knots allows within `tolerance`."""
    phi = _even(ideal, GRID * FINE)
    dense, along = ideal.points(phi), ideal.velocities(phi[::FINE])
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    knots = _fewest(_reaches(dense, along, tolerance))
    pieces, _ = _fitted(dense, along, knots, np.diff(knots, append=knots[0] + GRID))
    return Contour(_rounded(pieces)[:, :3])


def _rounded(pieces: Floats) -> Floats:
    """Return the pieces, any that wriggles (a step of the grid where it turns hardest) rounded."""
    wriggling = ~_calm(pieces)
    out, chord, into = (
        (pieces[wriggling, i] - pieces[wriggling, j]) @ np.array([1, 1j]) for i, j in ((1, 0), (3, 0), (3, 2))
    )
    out, into = out / np.abs(out), into / np.abs(into)
    # Half way and a little to where both tangents cross, an arc that turns one way; where they hardly turn
    # or cross far off, a third of the chord.
    turn, length = np.maximum((out.conj() * into).imag, 1e-9), np.abs(chord)
    forth, back = 0.55 * (chord.conj() * into).imag / turn, 0.55 * (out.conj() * chord).imag / turn
    sound = (np.minimum(forth, back) > 0) & (np.maximum(forth, back) < length)
    forth, back = np.where(sound, forth, length / 3), np.where(sound, back, length / 3)
    rounded = pieces.copy()
    start, end = pieces[wriggling, 0], pieces[wriggling, 3]
    rounded[wriggling, 1] = start + np.stack([(forth * out).real, (forth * out).imag], axis=1)
    rounded[wriggling, 2] = end - np.stack([(back * into).real, (back * into).imag], axis=1)
    return rounded


def _even(ideal: Round, count: int) -> Floats:
    """Return directions that part the outline into `count` by a length that no stretching changes."""
    phi = np.linspace(0, 2 * np.pi, GRID + 1)
    # Affine arc length: the radius of curvature in the frame to the power of two thirds, a radian.
    density = np.maximum(ideal.radius(phi), 0.05) ** (2 / 3)
    run = np.concatenate([[0.0], np.cumsum(density[1:] + density[:-1])])
    return np.interp(np.linspace(0, run[-1], count + 1), run, phi)[:-1]


def _reaches(dense: Points, along: Points, tolerance: float) -> NDArray[np.int64]:
    """Return how many steps of the grid one piece may span from each knot, found for all by halving."""
    knots = np.arange(GRID)
    good, bad = np.ones(GRID, dtype=np.int64), np.full(GRID, LONGEST + 1)
    while (bad - good).max() > 1:
        middle = (good + bad) // 2
        pieces, off = _fitted(dense, along, knots, middle)
        fits = np.asarray((off <= tolerance) & _calm(pieces))
        good, bad = np.where(fits, middle, good), np.where(fits, bad, middle)
    return good


def _calm(pieces: Floats) -> NDArray[np.bool_]:
    """Tell which pieces turn one way only, as their handles do, and without the kink of a short handle."""
    d = np.diff(pieces, axis=1)
    turn = d[:, :-1, 0] * d[:, 1:, 1] - d[:, :-1, 1] * d[:, 1:, 0]
    chord = pieces[:, 3] - pieces[:, 0]
    handles = np.hypot(d[:, ::2, 0], d[:, ::2, 1]).min(axis=1)
    return np.asarray((turn > 0).all(axis=1) & (handles > SHORT * np.hypot(chord[:, 0], chord[:, 1])))


def _fewest(reach: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return the rising knots of a way round in the fewest pieces, the last with the most room to spare."""
    start = at = np.arange(GRID)
    ways = [at]
    while (at < start + GRID).all():
        at = at + reach[at % GRID]
        ways.append(at)
    best = int(np.argmax(at - start))
    return np.array([way[best] for way in ways[:-1]])


def _fitted(
    dense: Points, along: Points, knots: NDArray[np.int64], steps: NDArray[np.int64]
) -> tuple[Floats, Floats]:
    """Return a piece from each knot of the grid over so many steps, and how far each strays, mm."""
    fine = (knots[:, None] * FINE + steps[:, None] * FINE * np.arange(SAMPLES) // (SAMPLES - 1)) % len(dense)
    return fit_pieces(dense[fine], along[knots % GRID], along[(knots + steps) % GRID], rounds=2)
