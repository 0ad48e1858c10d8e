"""Edges of a sheet that bends: two sides stay straight, the two between them curve.

Paper bends about one axis, and edges along that axis stay straight. The other two are followed from the
straight lines that fit them roughly, point by point, to where the desk ends and the paper begins.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, map_coordinates

from lettering.capture.paper.edges import Quad

SPACING_PX = 3.0
"""From one place along an edge at which it is looked for to the next."""
INSET = 0.015
"""The ends of an edge, where the other edges begin, are left out; share of its length."""
REACH = 0.12
"""How far an edge may leave its straight line, share of its length."""
STEEPEST = 4
"""Steps of half a pixel that an edge may go aside from one place to the next: it may run 34 degrees askew."""
CURVED = 0.0015
"""An edge of which a fifth leaves its line by more than this share of its length is curved: 0.3 mm on A4."""
LIKE = 0.8
"""Quantile of change along the straight line that is an edge's own: more of it, as in ink, counts no more."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class CurvedEdges:
    """A sheet whose upper and lower edge curve."""

    quad: Quad
    """Where straight lines fitted to the four edges meet, clockwise from the upper left, px."""
    upper: Floats
    """Points of the upper edge from left to right, shape (n, 2), px."""
    lower: Floats
    """Points of the lower edge from left to right, shape (n, 2), px."""


def curved_edges(light: NDArray[np.float32], quad: Quad) -> CurvedEdges | None:
    """Return the edges of the sheet about which `quad` was found; none when upper and lower are straight."""
    upper = _followed(light, quad[0], quad[1])
    lower = _followed(light, quad[3], quad[2])
    if max(_bow(upper, quad[0], quad[1]), _bow(lower, quad[3], quad[2])) < CURVED:
        return None
    return CurvedEdges(quad, upper, lower)


def _followed(light: NDArray[np.float32], start: Floats, end: Floats) -> Floats:
    """Return the points of the edge near the line from `start` to `end`, shape (n, 2), px."""
    side = end - start
    length = float(np.hypot(*side))
    normal = np.array([-side[1], side[0]]) / length
    count = max(2, int(length / SPACING_PX))
    places = start + np.linspace(INSET, 1 - INSET, count)[:, None] * side
    shifts = np.arange(-REACH * length, REACH * length + 0.5, 0.5)
    points = places[:, None] + shifts[:, None] * normal
    tone = map_coordinates(light, points.transpose(2, 0, 1)[::-1] - 0.5, order=1, mode="nearest")
    change = np.gradient(gaussian_filter(tone, (1.0, 3.0)), axis=1)
    # The line fits a part of the edge well: there the light changes as it does at an edge.
    steps = change[:, np.abs(shifts) <= 2.0]
    strongest = np.sort(steps[np.arange(count), np.abs(steps).argmax(axis=1)])
    change *= np.sign(strongest.sum())
    most = float(np.quantile(np.abs(strongest), LIKE))
    off = _sharpened(change, shifts, _way(np.clip(change, 0, most)))
    return np.asarray(places + off[:, None] * normal)


def _way(gain: Floats) -> NDArray[np.intp]:
    """Return the column at each row of `gain` (n, m) through which a way of small steps gathers most."""
    best = gain[0].copy()
    came = np.zeros(gain.shape, dtype=np.intp)
    columns = np.arange(gain.shape[1])
    for row in range(1, len(gain)):
        around = np.stack([_shifted(best, step) for step in range(-STEEPEST, STEEPEST + 1)])
        step = around.argmax(axis=0)
        came[row] = np.clip(columns + step - STEEPEST, 0, len(columns) - 1)
        best = gain[row] + around[step, columns]
    way = np.empty(len(gain), dtype=np.intp)
    way[-1] = best.argmax()
    for row in range(len(gain) - 1, 0, -1):
        way[row - 1] = came[row, way[row]]
    return way


def _shifted(values: Floats, step: int) -> Floats:
    """Return the values `step` columns on; past the ends there is no way."""
    moved = np.full_like(values, -np.inf)
    if step >= 0:
        moved[: len(values) - step] = values[step:]
    else:
        moved[-step:] = values[:step]
    return moved


def _sharpened(change: Floats, shifts: Floats, way: NDArray[np.intp]) -> Floats:
    """Return where on each row the light changes in the middle, within 3 px of the way, px."""
    near = np.abs(np.arange(change.shape[1]) - way[:, None]) <= 6
    weight = np.where(near, np.clip(change, 0, None), 0.0) ** 2
    return np.asarray((weight * shifts).sum(axis=1) / np.maximum(weight.sum(axis=1), 1e-12))


def _bow(points: Floats, start: Floats, end: Floats) -> float:
    """Return how far points leave the line from `start` to `end`, a fifth aside, share of its length.

    A straight edge leaves it at most at its end, past a corner that lies farther in than straight lines met.
    """
    side = end - start
    off = ((points - start) @ np.array([-side[1], side[0]])) / (side @ side)
    return float(np.quantile(np.abs(off), 0.8))
