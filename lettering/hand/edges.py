"""Many outlines as short straight edges, measured at one stroke: numpy is slow at small things."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.outline import Outline
from lettering.geometry.rect import Rect

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

FLATNESS = 1.5
"""Farthest an edge may lie from its curve, font units: at an x-height of 4 mm 0.01 mm, a fine press's dot."""


@dataclass(frozen=True, slots=True, eq=False)
class Edges:
    """The edges of n outlines, one after the other; those of one contour close upon themselves."""

    start: Floats
    """Shape (m, 2)."""
    end: Floats
    """Shape (m, 2)."""
    owner: Ints
    """Shape (m,): which outline an edge belongs to."""
    bounds: Floats
    """Shape (n, 4): x0, y0, x1, y1 of the curves themselves; infinitely small where there is no ink."""
    area: Floats
    """Shape (n,): enclosed, holes taken off."""
    rings: Ints
    """Shape (n,): outer outlines less holes."""

    @classmethod
    def of(cls, outlines: Sequence[Outline], tolerance: float = FLATNESS) -> "Edges":
        """Return the edges of `outlines`, nowhere farther than `tolerance` from the curves."""
        contours = [(i, contour.knots) for i, outline in enumerate(outlines) for contour in outline.contours]
        if not contours:
            blank = np.zeros((0, 2))
            nothing = np.tile([np.inf, np.inf, -np.inf, -np.inf], (len(outlines), 1))
            count = len(outlines)
            return cls(blank, blank, np.zeros(0, int), nothing, np.zeros(count), np.zeros(count, int))
        sizes = np.array([len(knots) for _, knots in contours])
        pieces = _pieces(np.concatenate([knots for _, knots in contours]), sizes)
        owner = np.array([i for i, _ in contours])
        counts = _counts(pieces, tolerance)
        start = _points(pieces, counts)
        edges = np.add.reduceat(counts, np.cumsum(sizes) - sizes)
        areas = np.add.reduceat(_areas(pieces), np.cumsum(sizes) - sizes)
        return cls(
            start=start,
            end=start[_next(edges)],
            owner=np.repeat(owner, edges),
            bounds=_bounds(pieces, np.repeat(owner, sizes), len(outlines)),
            area=np.bincount(owner, areas, len(outlines)).astype(np.float64),
            rings=np.bincount(owner, np.sign(areas), len(outlines)).astype(np.intp),
        )

    def rects(self) -> list[Rect]:
        """Return the box of each outline; those without ink have none that can be used."""
        return [Rect(*box) for box in self.bounds.tolist()]

    def crossings(self, lowest: float, step: float, count: int) -> tuple[Ints, Ints, Floats, Floats]:
        """Return where edges cross the heights lowest, lowest + step … (`count` of them).

        For each crossing: its outline, its height's number, its x, and the sign of the edge's rise. An edge
        holds its lower end and not its upper one, so that a closed outline crosses evenly.
        """
        low = np.minimum(self.start[:, 1], self.end[:, 1])
        high = np.maximum(self.start[:, 1], self.end[:, 1])
        first = np.clip(np.ceil((low - lowest) / step), 0, count).astype(np.intp)
        after = np.clip(np.ceil((high - lowest) / step), 0, count).astype(np.intp)
        times = np.maximum(after - first, 0)
        edge = np.repeat(np.arange(len(low)), times)
        number = np.arange(len(edge)) - np.repeat(np.cumsum(times) - times, times) + first[edge]
        start, end = self.start[edge], self.end[edge]
        rise = end[:, 1] - start[:, 1]
        share = (lowest + number * step - start[:, 1]) / rise
        return self.owner[edge], number, start[:, 0] + share * (end[:, 0] - start[:, 0]), np.sign(rise)


def _pieces(knots: Floats, sizes: Ints) -> Floats:
    """Return the Bézier pieces, shape (k, 4, 2), of contours of `sizes` pieces each."""
    return np.concatenate([knots, knots[_next(sizes), :1]], axis=1)


def _next(sizes: Ints) -> Ints:
    """Return for each member of rings of `sizes` members the place of the one after it."""
    after = np.arange(1, sizes.sum() + 1)
    lasts = np.cumsum(sizes)
    after[lasts - 1] = lasts - sizes
    return after


def _counts(pieces: Floats, tolerance: float) -> Ints:
    """Return how many edges keep each piece within the tolerance (Wang's bound)."""
    bends = pieces[:, :2] - 2 * pieces[:, 1:3] + pieces[:, 2:]
    bend = np.hypot(bends[..., 0], bends[..., 1]).max(axis=1)
    counts: Ints = np.maximum(1, np.ceil(np.sqrt(0.75 * bend / tolerance))).astype(np.intp)
    return counts


def _points(pieces: Floats, counts: Ints) -> Floats:
    """Return where edges begin, shape (m, 2)."""
    which = np.repeat(np.arange(len(pieces)), counts)
    first = np.repeat(np.cumsum(counts) - counts, counts)
    return _at(pieces[which], (np.arange(len(which)) - first) / counts[which])


def _at(pieces: Floats, t: Floats) -> Floats:
    s = 1 - t
    weights = np.stack([s**3, 3 * s**2 * t, 3 * s * t**2, t**3], axis=1)
    points: Floats = np.einsum("nk,nkd->nd", weights, pieces)
    return points


def _areas(pieces: Floats) -> Floats:
    """Return the integral of (x dy - y dx) / 2 over each piece, exact (as `Contour.area`)."""
    x, y = pieces[..., 0], pieces[..., 1]
    weights = ((0, 1, 6), (0, 2, 3), (0, 3, 1), (1, 2, 3), (1, 3, 3), (2, 3, 6))
    twice = sum((w * (x[:, i] * y[:, j] - y[:, i] * x[:, j]) for i, j, w in weights), np.zeros(len(x)))
    return twice / 20


def _bounds(pieces: Floats, owner: Ints, count: int) -> Floats:
    """Return the box of each outline's curves, shape (count, 4): their ends and where they turn back."""
    d = np.diff(pieces, axis=1)
    a, b, c = d[:, 0] - 2 * d[:, 1] + d[:, 2], 2 * (d[:, 1] - d[:, 0]), d[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        q = -(b + np.copysign(np.sqrt(b * b - 4 * a * c), b)) / 2
        turns = np.stack([q / a, c / q], axis=1)  # shape (k, 2 roots, 2 axes)
    t = np.where((turns > 0) & (turns < 1), turns, 0.0)
    s = 1 - t
    p = pieces[:, :, None]
    values = s**3 * p[:, 0] + 3 * s**2 * t * p[:, 1] + 3 * s * t**2 * p[:, 2] + t**3 * p[:, 3]
    box = np.tile([np.inf, np.inf, -np.inf, -np.inf], (count, 1))
    np.minimum.at(box[:, :2], owner, values.min(axis=1))
    np.maximum.at(box[:, 2:], owner, values.max(axis=1))
    return box
