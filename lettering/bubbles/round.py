"""A convex outline held by how far it reaches in each direction, and its drawing as few cubics."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour, Points
from lettering.geometry.fit import FIT_MM, fit_pieces

Floats = NDArray[np.float64]

MOST_PIECES = 40
"""More pieces than any outline of slow harmonics asks for."""

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
        radius = (harmonics(phi, self._order, 0) + harmonics(phi, self._order, 2)) @ self.series
        return np.stack([-np.sin(phi) * radius, np.cos(phi) * radius], axis=1) * self.stretch

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
    """Return the outline in few pieces within `tolerance`, the strain shared out among them."""
    phi, tries = _even(ideal, 8), 0
    while True:
        fine = phi[:-1, None] + np.diff(phi)[:, None] * np.linspace(0, 1, SAMPLES)
        samples = ideal.points(fine.ravel()).reshape(*fine.shape, 2)
        along = ideal.velocities(phi)
        along /= np.linalg.norm(along, axis=1)[:, None]
        pieces, off = fit_pieces(samples, along[:-1], along[1:])
        worst = off.max()
        if worst <= tolerance or len(pieces) >= MOST_PIECES:
            return Contour(pieces[:, :3])
        # A cubic's error grows with the sixth power of its length: the roots say where knots are wanted.
        strain = (off / tolerance + 1e-3) ** (1 / 6)
        count = min(MOST_PIECES, max(len(pieces), int(np.ceil(strain.sum()))))
        count += count == len(pieces) and tries % 2
        run = np.concatenate([[0.0], np.cumsum(strain)])
        phi = np.interp(np.linspace(0, run[-1], count + 1), run, phi)
        tries += 1


def _even(ideal: Round, count: int) -> NDArray[np.float64]:
    """Return directions (count + 1,) that share out length and turning evenly among the pieces."""
    phi = np.linspace(0, 2 * np.pi, 181)
    speed = np.linalg.norm(ideal.velocities(phi), axis=1)
    density = speed / speed.mean() + 1.0
    run = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2)])
    return np.interp(np.linspace(0, run[-1], count + 1), run, phi)
