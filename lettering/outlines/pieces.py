"""Where an edge is divided into cubic pieces: as few as the noise of the paper asks for.

Dynamic programming over candidate divisions finds the least total of misfit, in units of what the
noise alone would leave, and a price for each piece.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Points
from lettering.outlines.corners import Corners
from lettering.outlines.edge import Edge
from lettering.outlines.way import cheapest_way

PRICE = 25.0
"""Price of one more piece, in units of the noise (chi squared): dearer is calmer."""

CANDIDATE_STEP = 2.0
"""Least distance between candidate divisions, px."""

MOST_CANDIDATES = 56
"""Most candidate divisions between two corners."""

FEW_CANDIDATES = 28
"""Most candidate divisions of an edge without corners when only a first place to start from is sought."""


@dataclass(frozen=True, slots=True, eq=False)
class Division:
    """One edge as pieces that start and end on it."""

    starts: NDArray[np.intp]
    """Shape (m,), ascending: index of the edge point at which each piece starts."""
    corner: NDArray[np.bool_]
    """Shape (m,): which starts are corners."""
    pieces: NDArray[np.float64]
    """Shape (m, 4, 2): start, two handles, end, px."""


@dataclass(frozen=True, slots=True, eq=False)
class _Sums:
    """Running sums along an edge walked twice, so that any stretch of it is averaged at once."""

    table: NDArray[np.float64]
    """Shape (2 n + 1, 4): sums of weight, weight * x, weight * y, weight * index."""

    @classmethod
    def of(cls, points: Points, weights: NDArray[np.float64]) -> "_Sums":
        twice, weight = np.concatenate([points, points]), np.concatenate([weights, weights])
        columns = np.column_stack([np.ones(len(twice)), twice, np.arange(len(twice))]) * weight[:, None]
        return cls(np.concatenate([np.zeros((1, 4)), np.cumsum(columns, axis=0)]))


def divided(edge: Edge, corners: Corners, *, kappa: float, price: float = PRICE) -> Division:
    """Return the best division of `edge` into cubics.

    `kappa` is the standard deviation, px, that noise gives the mean offset of one px of edge.
    """
    weights = believed(edge, corners)
    sums = _Sums.of(edge.points, weights)
    if len(corners.index):
        ends = np.concatenate([corners.index, corners.index[:1] + len(edge.points)])
        gaps = np.concatenate([corners.gaps, corners.gaps[:1]])
        stretches = [
            _stretch(edge, sums, corners, span, clear, kappa, price)
            for span, clear in zip(pairwise(ends), pairwise(gaps), strict=True)
        ]
        starts = np.concatenate([starts for starts, _ in stretches])
        corner = np.isin(starts, corners.index)
    else:
        starts, pieces = _round(edge, sums, kappa, price)
        stretches, corner = [(starts, pieces)], np.zeros(len(starts), dtype=bool)
    pieces = np.concatenate([pieces for _, pieces in stretches])
    order = np.argsort(starts % len(edge.points), kind="stable")
    return Division((starts % len(edge.points))[order], corner[order], pieces[order])


def believed(edge: Edge, corners: Corners) -> NDArray[np.float64]:
    """Return weights, shape (n,): 0 where blur has rounded a corner, 1 elsewhere."""
    weights = np.ones(len(edge.points))
    for index, gap in zip(corners.index, corners.gaps, strict=True):
        reach = round(gap / edge.step)
        weights[np.arange(index - reach, index + reach + 1) % len(weights)] = 0
    return weights


def _round(
    edge: Edge, sums: _Sums, kappa: float, price: float
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Divide an edge without corners: once from anywhere, then from a division found by that."""
    none = Corners.none()
    n = len(edge.points)
    starts, _ = _stretch(edge, sums, none, (0, n), (0.0, 0.0), kappa, price, FEW_CANDIDATES)
    anchor = int(starts[len(starts) // 2])
    return _stretch(edge, sums, none, (anchor, anchor + n), (0.0, 0.0), kappa, price)


def _stretch(
    edge: Edge,
    sums: _Sums,
    corners: Corners,
    span: tuple[int, int],
    gaps: tuple[float, float],
    kappa: float,
    price: float,
    most: int = MOST_CANDIDATES,
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Divide the edge between two of its points; return the starts and the pieces."""
    places = _candidates(edge, span, gaps, most)
    points = _candidate_points(edge, corners, places)
    closed = span[1] - span[0] == len(edge.points)
    path, pieces = cheapest_way(
        sums.table,
        places,
        points,
        turned=_turned(edge, places),
        most=len(places) // 2 if closed else len(places),
        variance=kappa**2 / edge.step,
        price=price,
    )
    return places[path], pieces


def _candidates(edge: Edge, span: tuple[int, int], gaps: tuple[float, float], most: int) -> NDArray[np.intp]:
    """Return the indices at which the stretch may be divided, its ends included."""
    first, last = span
    clear, room = (round((gap + 1.0) / edge.step) if gap else 0 for gap in gaps)
    count = int((last - first - clear - room) * edge.step / CANDIDATE_STEP)
    if count < 1:
        return np.unique([first, (first + last) // 2, last])
    inner = np.linspace(first + clear, last - room, min(count, most) + 1)
    return np.unique(np.concatenate([[first], np.rint(inner).astype(int), [last]]))


def _candidate_points(edge: Edge, corners: Corners, places: NDArray[np.intp]) -> Points:
    """Return the candidates' points: the corner itself, or the edge smoothed over 3 px."""
    n = len(edge.points)
    # Savitzky & Golay 1964: seven-point smoothing by a parabola.
    weights = np.array([-2, 3, 6, 7, 6, 3, -2]) / 21
    around = edge.points[(places[:, None] + np.arange(-3, 4)) % n]
    points = np.asarray(np.einsum("k,ikx->ix", weights, around))
    where = {int(index): k for k, index in enumerate(corners.index)}
    for end in (0, -1):
        k = where.get(int(places[end]) % n)
        if k is not None:
            points[end] = corners.points[k]
    return points


def _turned(edge: Edge, places: NDArray[np.intp]) -> NDArray[np.float64]:
    """Return how far the edge has turned in all, radians, before each step from place to place."""
    steps = np.diff(edge.points[places % len(edge.points)], axis=0)
    heading = np.arctan2(steps[:, 1], steps[:, 0])
    bends = (np.diff(heading) + np.pi) % (2 * np.pi) - np.pi
    return np.concatenate([[0.0], np.cumsum(np.abs(bends))])
