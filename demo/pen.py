"""A round pen in a steady hand: strokes of the alphabet become ink, a little different each time."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline
from scipy.ndimage import gaussian_filter1d
from strokes import LETTERS

Points = NDArray[np.float64]
"""Shape (n, 2), x and y."""

PEN = 1 / 6
"""Usual width of the stroke, units; a small x is then seven strokes tall."""
STEP = 0.018
"""Distance between the dabs that make a stroke, units: a ninth of the pen, so that edges are even."""
OVERSAMPLING = 3
"""Dabs are drawn on a grid this many times finer than the page, then averaged."""


@dataclass(frozen=True, slots=True, eq=False)
class Ink:
    """One drawn character."""

    coverage: NDArray[np.float32]
    """Shape (h, w), share of each pixel that is inked, 0 to 1."""
    left: int
    """Column of the page, relative to the character's own x = 0."""
    top: int
    """Row of the page, relative to the baseline; negative is above it."""


def drawn(char: str, px_per_unit: float, rng: Generator) -> Ink:
    """Return a new take of `char`, drawn at `px_per_unit`."""
    warp = _warp(rng)
    dabs = [
        _dabs(_wandering(warp(points), rng), rng)
        for stroke in LETTERS[char]
        for points in [_curve(stroke, rng)]
    ]
    return _inked(np.concatenate(dabs) * px_per_unit)


def _curve(stroke: str, rng: Generator) -> Points:
    """Return a stroke as evenly spaced points, its own points moved a little."""
    runs = [_points(run) for run in stroke.split("!")]
    for before, after in pairwise(runs):
        after[:0] = before[-1:]
    smooth = [_smooth(np.array(run) + rng.normal(0, 0.008, (len(run), 2))) for run in runs]
    for before, after in pairwise(smooth):
        after[:] += np.linspace(1, 0, len(after))[:, None] * (before[-1] - after[0])
    return _even(np.concatenate(smooth))


def _points(run: str) -> list[list[float]]:
    return [[float(number) for number in point.split(",")] for point in run.split()]


def _smooth(points: Points) -> Points:
    """Return many points on the smooth curve through a few (centripetal cubic spline)."""
    steps = np.maximum(np.hypot(*np.diff(points, axis=0).T), 1e-3) ** 0.5
    places = np.concatenate([[0], np.cumsum(steps)])
    kind = "natural" if len(points) > 2 else "not-a-knot"
    return np.asarray(CubicSpline(places, points, bc_type=kind)(np.linspace(0, places[-1], 40 * len(points))))


def _even(points: Points) -> Points:
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.linspace(0, along[-1], max(3, int(along[-1] / STEP)))
    return np.stack([np.interp(at, along, points[:, axis]) for axis in (0, 1)], axis=1)


def _warp(rng: Generator) -> Callable[[Points], Points]:
    """Return how this take differs as a whole: size, width, slant, lean, height, and a slow bend."""
    size, width = 1 + rng.normal(0, 0.018), 1 + rng.normal(0, 0.03)
    slant, lean = np.tan(np.radians(rng.normal(2.0, 1.1))), np.radians(rng.normal(0.3, 0.8))
    lift = np.clip(rng.normal(0, 0.02), -0.045, 0.045)
    turn = np.array([[np.cos(lean), np.sin(lean)], [-np.sin(lean), np.cos(lean)]])
    waves, phases = rng.normal(0, 2.2, (3, 2)), rng.uniform(0, 2 * np.pi, 3)
    pushes = rng.normal(0, 0.016, (3, 2))

    def warp(points: Points) -> Points:
        bent = points + np.sin(points @ waves.T + phases) @ pushes
        sloped = np.stack([bent[:, 0] * width + bent[:, 1] * slant, bent[:, 1]], axis=1)
        return np.asarray(size * sloped @ turn + [0, lift])

    return warp


def _wandering(points: Points, rng: Generator) -> Points:
    """Return the points with the hand's slow tremor."""
    tremor = np.stack([_slow(len(points), 0.30, rng) for _ in range(2)], axis=1)
    return points + 0.0042 * tremor


def _slow(count: int, wavelength: float, rng: Generator) -> Points:
    """Return smooth noise along a stroke, sd about 1; it changes over `wavelength` units, not dab to dab."""
    knots = max(4, int(count * STEP / wavelength) + 3)
    return np.asarray(
        CubicSpline(np.linspace(0, 1, knots), rng.normal(0, 1, knots))(np.linspace(0, 1, count))
    )


def _dabs(points: Points, rng: Generator) -> Points:
    """Return x, y and radius of each dab: fuller where the pen starts, stops or turns, lighter in between."""
    along = np.arange(len(points)) * STEP
    left = along[-1] - along
    start, end = np.exp(-along / 0.10), np.exp(-left / 0.07)
    pressure = 0.975 + 0.065 * start + rng.uniform(0.0, 0.06) * end + 0.05 * _turning(points)
    pressure += 0.022 * _slow(len(points), 0.5, rng) + rng.normal(0, 0.012)
    return np.column_stack([points, PEN / 2 * pressure])


def _turning(points: Points) -> Points:
    """Return how sharply the pen turns at each point, 0 to 1."""
    reach, at = int(0.08 / STEP), np.arange(len(points))
    ahead = points[np.minimum(at + reach, at[-1])] - points
    behind = points - points[np.maximum(at - reach, 0)]
    cross = ahead[:, 0] * behind[:, 1] - ahead[:, 1] * behind[:, 0]
    bend = np.abs(np.arctan2(cross, np.einsum("ij,ij->i", ahead, behind)))
    bend[:reach] = bend[-reach:] = 0
    return np.asarray(gaussian_filter1d(np.clip(bend / 1.2, 0, 1), reach / 2))


def _inked(dabs: Points) -> Ink:
    """Return the union of the dabs (x, y up, radius; page px), averaged from a finer grid."""
    x, y, radius = dabs[:, 0], -dabs[:, 1], dabs[:, 2]
    left, top = int(np.floor((x - radius).min())) - 2, int(np.floor((y - radius).min())) - 2
    width, height = int(np.ceil((x + radius).max())) + 2 - left, int(np.ceil((y + radius).max())) + 2 - top
    fine = np.zeros((height * OVERSAMPLING, width * OVERSAMPLING), dtype=np.float32)
    for column, row, reach in np.column_stack([x - left, y - top, radius]) * OVERSAMPLING:
        _dab(fine, column, row, reach)
    blocks = fine.reshape(height, OVERSAMPLING, width, OVERSAMPLING)
    return Ink(blocks.mean(axis=(1, 3)), left, top)


def _dab(fine: NDArray[np.float32], column: float, row: float, reach: float) -> None:
    x0, y0 = int(column - reach) - 1, int(row - reach) - 1
    size = int(2 * reach) + 4
    across = np.arange(x0, x0 + size, dtype=np.float32) + 0.5 - np.float32(column)
    down = np.arange(y0, y0 + size, dtype=np.float32) + 0.5 - np.float32(row)
    disc = np.clip(reach + 0.5 - np.sqrt(down[:, None] ** 2 + across[None, :] ** 2), 0, 1)
    window = fine[y0 : y0 + size, x0 : x0 + size]
    np.maximum(window, disc, out=window)
