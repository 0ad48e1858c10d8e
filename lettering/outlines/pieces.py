"""Where an edge is divided into cubic pieces: as few as the noise of the paper asks for.

Dynamic programming over candidate divisions finds the least total of misfit, in units of what the
noise alone would leave, and a price for each piece; every candidate piece is fitted in one sweep.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Points
from lettering.outlines.corners import Corners
from lettering.outlines.edge import Edge

PRICE = 25.0
"""Price of one more piece, in units of the noise (chi squared): dearer is calmer."""

CANDIDATE_STEP = 2.0
"""Least distance between candidate divisions, px."""

MOST_CANDIDATES = 56
"""Most candidate divisions between two corners."""

FEW_CANDIDATES = 28
"""Most candidate divisions of an edge without corners when only a first place to start from is sought."""

BLOCKS = 14
"""Number of blocks a candidate piece is averaged into before it is fitted."""

_Single = NDArray[np.float32]

BATCH = 400
"""Candidate pieces fitted at a time: few enough to stay in the processor's cache."""

FARTHEST = 0.6
"""A piece may nowhere lie farther from the edge than this, px."""

WIDEST_TURN = np.radians(200)
"""A piece may not turn farther than this in all."""


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

    def until(self, index: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the sums up to fractional point `index` (each point reaches half a step both ways)."""
        at = np.clip(index + 0.5, 0, len(self.table) - 1)
        low = np.minimum(at.astype(int), len(self.table) - 2)
        share = (at - low)[..., None]
        return np.asarray(self.table[low] * (1 - share) + self.table[low + 1] * share)


def divided(edge: Edge, corners: Corners, *, gap: float, kappa: float, price: float = PRICE) -> Division:
    """Return the best division of `edge` into cubics.

    `kappa` is the standard deviation, px, that noise gives the mean offset of one px of edge;
    `gap` px on each side of a corner are not believed.
    """
    weights = believed(edge, corners, gap)
    sums = _Sums.of(edge.points, weights)
    if len(corners.index):
        ends = np.concatenate([corners.index, corners.index[:1] + len(edge.points)])
        stretches = [_stretch(edge, sums, corners, span, gap, kappa, price) for span in pairwise(ends)]
        starts = np.concatenate([starts for starts, _ in stretches])
        corner = np.isin(starts, corners.index)
    else:
        starts, pieces = _round(edge, sums, kappa, price)
        stretches, corner = [(starts, pieces)], np.zeros(len(starts), dtype=bool)
    pieces = np.concatenate([pieces for _, pieces in stretches])
    order = np.argsort(starts % len(edge.points), kind="stable")
    return Division((starts % len(edge.points))[order], corner[order], pieces[order])


def believed(edge: Edge, corners: Corners, gap: float) -> NDArray[np.float64]:
    """Return weights, shape (n,): 0 within `gap` px of a corner, 1 elsewhere."""
    weights = np.ones(len(edge.points))
    reach = np.arange(-round(gap / edge.step), round(gap / edge.step) + 1)
    weights[(corners.index[:, None] + reach) % len(weights)] = 0
    return weights


def _round(
    edge: Edge, sums: _Sums, kappa: float, price: float
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Divide an edge without corners: once from anywhere, then from a division found by that."""
    none = Corners(np.zeros(0, dtype=np.intp), np.zeros((0, 2)))
    n = len(edge.points)
    starts, _ = _stretch(edge, sums, none, (0, n), 0.0, kappa, price, FEW_CANDIDATES)
    anchor = int(starts[len(starts) // 2])
    return _stretch(edge, sums, none, (anchor, anchor + n), 0.0, kappa, price)


def _stretch(
    edge: Edge,
    sums: _Sums,
    corners: Corners,
    span: tuple[int, int],
    gap: float,
    kappa: float,
    price: float,
    most: int = MOST_CANDIDATES,
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Divide the edge between two of its points; return the starts and the pieces."""
    places = _candidates(edge, span, gap, most)
    points = _candidate_points(edge, corners, places)
    i, j = _pairs(edge, places, closed=span[1] - span[0] == len(edge.points))
    means, weights, t = _blocks(sums, places[i], places[j])
    pieces, off = fitted(np.stack([points[i], points[j]], axis=1), means, weights > 1e-9, t)
    cost = edge.step * (weights * off**2).sum(axis=1) / kappa**2 + price
    worst = (off * (weights > 0)).max(axis=1)
    cost = np.where(worst > FARTHEST, cost + 1e3 * worst, cost)
    path = _cheapest(len(places), i, j, cost)
    return places[i[path]], pieces[path]


def _candidates(edge: Edge, span: tuple[int, int], gap: float, most: int) -> NDArray[np.intp]:
    """Return the indices at which the stretch may be divided, its ends included."""
    first, last = span
    clear = round((gap + 1.0) / edge.step) if gap else 0
    count = int((last - first - 2 * clear) * edge.step / CANDIDATE_STEP)
    if count < 1:
        return np.array([first, (first + last) // 2, last])
    inner = np.linspace(first + clear, last - clear, min(count, most) + 1)
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


def _pairs(
    edge: Edge, places: NDArray[np.intp], *, closed: bool
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return the pairs of candidates that one cubic might join: those that do not turn too far."""
    steps = np.diff(edge.points[places % len(edge.points)], axis=0)
    heading = np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))
    total = np.concatenate([[0], np.cumsum(np.abs(np.diff(heading))), [0]])
    total[-1] = total[-2]
    i, j = np.triu_indices(len(places), 1)
    turn = np.abs(total[np.maximum(j - 1, 0)] - total[i])
    fair = (turn <= WIDEST_TURN) | (j == i + 1)
    if closed:
        fair &= (j - i) <= len(places) // 2
    return i[fair], j[fair]


def _blocks(
    sums: _Sums, starts: NDArray[np.intp], ends: NDArray[np.intp]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Return block means (b, k, 2), weights (b, k) in points and parameters (b, k) of stretches."""
    share = np.linspace(0, 1, BLOCKS + 1)
    edges = sums.until(starts[:, None] + (ends - starts)[:, None] * share)
    block = np.diff(edges, axis=1)
    weight = np.maximum(block[..., 0], 0.0)
    mean = block[..., 1:] / np.maximum(weight, 1e-12)[..., None]
    t = (mean[..., 2] - starts[:, None]) / (ends - starts)[:, None]
    return mean[..., :2], weight, np.clip(t, 0, 1)


def fitted(
    ends: NDArray[np.float64],
    points: NDArray[np.float64],
    use: NDArray[np.bool_],
    t: NDArray[np.float64],
    rounds: int = 3,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return cubics (b, 4, 2) between `ends` (b, 2, 2) near `points` (b, k, 2), and distances (b, k).

    Least squares for the handles in turn with moving each point's parameter `t` (b, k) to its foot.
    """
    pieces, off = np.empty((len(ends), 4, 2)), np.empty(t.shape)
    for first in range(0, len(ends), BATCH):
        some = slice(first, first + BATCH)
        pieces[some], off[some] = _fitted(ends[some], points[some], use[some], t[some], rounds)
    return pieces, off


def _fitted(
    ends: NDArray[np.float64],
    points: NDArray[np.float64],
    use: NDArray[np.bool_],
    t: NDArray[np.float64],
    rounds: int,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    # The two coordinates come first, so that numpy's inner loops are long; measured from its start a piece
    # is small enough for single precision.
    start = ends[:, 0].T[..., None]
    end = (ends[:, 1].T[..., None] - start).astype(np.float32)
    wanted = (np.moveaxis(points, 2, 0) - start).astype(np.float32)
    weight, at = use.astype(np.float32), t.astype(np.float32)
    for turn in range(rounds):
        first, second = _handles(end, wanted, weight, at)
        miss, velocity = _miss(first, second, end, wanted, at)
        speed = np.maximum(velocity[0] ** 2 + velocity[1] ** 2, 1e-9)
        if turn < rounds - 1:
            at = np.clip(at + (miss[0] * velocity[0] + miss[1] * velocity[1]) / speed, 0, 1)
    off = np.abs(miss[0] * velocity[1] - miss[1] * velocity[0]) / np.sqrt(speed)
    pieces = start + np.concatenate([np.zeros_like(end), first, second, end], axis=2)
    return pieces.transpose(1, 2, 0), off * weight


def _handles(end: _Single, wanted: _Single, weight: _Single, t: _Single) -> tuple[_Single, _Single]:
    """Return the two free handles, (2, b, 1), that fit best at parameters `t`, held weakly at the thirds."""
    s = 1 - t
    b1, b2 = 3 * s * s * t, 3 * s * t * t
    rest = (wanted - (t * t * t + b2) * end).astype(np.float32, copy=False)
    w1, w2 = weight * b1, weight * b2
    # The handles are found as steps from the ends; the tie to the thirds only steadies straight pieces.
    hold, third = 1e-3, end[..., 0] / 3
    m11, m22 = _summed(w1, b1) + hold, _summed(w2, b2) + hold
    m12 = _summed(w1, b2)
    r1, r2 = _summed(w1, rest) + hold * third, _summed(w2, rest) - hold * third
    det = m11 * m22 - m12 * m12
    first, second = (m22 * r1 - m12 * r2) / det, (m11 * r2 - m12 * r1) / det
    return first[..., None], end + second[..., None]


def _summed(a: _Single, b: _Single) -> _Single:
    """Return the sum of products along the last axis."""
    return np.asarray(np.einsum("...k,...k->...", a, b))


def _miss(
    first: _Single, second: _Single, end: _Single, wanted: _Single, t: _Single
) -> tuple[_Single, _Single]:
    """Return points less curve, and the curve's velocity, both (2, b, k), at `t` (b, k)."""
    a, b, c = end - 3 * (second - first), 3 * (second - 2 * first), 3 * first
    at = a * t
    return wanted - ((at + b) * t + c) * t, (3 * at + 2 * b) * t + c


def _cheapest(
    count: int, i: NDArray[np.intp], j: NDArray[np.intp], cost: NDArray[np.float64]
) -> NDArray[np.intp]:
    """Return which of the pairs (i, j) make the cheapest way from candidate 0 to the last."""
    table = np.full((count, count), np.inf)
    pair = np.zeros((count, count), dtype=np.intp)
    table[i, j], pair[i, j] = cost, np.arange(len(i))
    best, came = np.zeros(count), np.zeros(count, dtype=np.intp)
    for end in range(1, count):
        total = best[:end] + table[:end, end]
        came[end] = np.argmin(total)
        best[end] = total[came[end]]
    way, at = [], count - 1
    while at > 0:
        way.append(pair[came[at], at])
        at = int(came[at])
    return np.array(way[::-1])
