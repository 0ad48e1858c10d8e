"""A convex outline held by how far it reaches in each direction, and its drawing as few cubics."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.compiled import compiled
from lettering.geometry.contour import Contour, Points
from lettering.geometry.cubic import calm, few_pieces
from lettering.geometry.fit import FIT_MM

Floats = NDArray[np.float64]

GRID = 72
"""Places round the outline where a piece may end."""

FINE = 4
"""Points of the outline to a step of the grid."""

LONGEST = 15
"""Steps of the grid that one piece spans at most: a fifth of the way round."""


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
        table = harmonics(phi, self._order)
        reach, slope = table @ self.series, table @ differentiated(self.series)
        c, s = np.cos(phi), np.sin(phi)
        return np.stack([reach * c - slope * s, reach * s + slope * c], axis=1) * self.stretch + self.centre

    def velocities(self, phi: Floats) -> Points:
        """Return the derivatives of `points` by phi, mm a radian."""
        radius = self.radius(phi)
        return np.stack([-np.sin(phi) * radius, np.cos(phi) * radius], axis=1) * self.stretch

    def radius(self, phi: Floats) -> Floats:
        """Return the radius of curvature in the frame, shape (len(phi),)."""
        bend = self.series + differentiated(differentiated(self.series))
        radius: Floats = harmonics(phi, self._order) @ bend
        return radius

    @property
    def _order(self) -> int:
        return len(self.series) // 2


def harmonics(phi: Floats, order: int) -> Floats:
    """Return the harmonics at `phi`, shape (len(phi), 1 + 2 order), in the order of a series."""
    table = np.empty((len(phi), 1 + 2 * order))
    _fill(np.cos(phi), np.sin(phi), table)
    return table


@compiled
def _fill(cosine: Floats, sine: Floats, table: Floats) -> None:
    order = table.shape[1] // 2
    for i in range(len(table)):
        c, s = 1.0, 0.0
        table[i, 0] = c
        for n in range(1, order + 1):
            c, s = c * cosine[i] - s * sine[i], s * cosine[i] + c * sine[i]
            table[i, n], table[i, order + n] = c, s


def differentiated(series: Floats) -> Floats:
    """Return the series of the derivative by phi."""
    n = np.arange(1, len(series) // 2 + 1)
    cosines, sines = series[1 : len(n) + 1], series[len(n) + 1 :]
    return np.concatenate([[0.0], n * sines, -n * cosines])


def cubics(ideal: Round, tolerance: float = FIT_MM) -> Contour:
    """Return the outline in as few pieces as a grid of knots allows within `tolerance`."""
    phi = _even(ideal, GRID * FINE)
    dense, along = ideal.points(phi), ideal.velocities(phi[::FINE])
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    return Contour(_rounded(few_pieces(dense, along, tolerance, LONGEST))[:, :3])


def _rounded(pieces: Floats) -> Floats:
    """Return the pieces, any that wriggles (a step of the grid where it turns hardest) rounded."""
    wriggling = ~calm(pieces)
    if not wriggling.any():
        return pieces
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
