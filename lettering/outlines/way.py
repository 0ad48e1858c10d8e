"""The cheapest way along a stretch of edge, in cubics from candidate to candidate."""

import math

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.compiled import compiled
from lettering.geometry.contour import Points

BLOCKS = 14
"""Number of blocks a candidate piece is averaged into before it is fitted."""

ROUNDS = 3
"""Times a candidate piece is fitted, each point's parameter moved to its foot between."""

MISSES = 4
"""After so many candidates in a row that lie too far off, none farther along is tried."""

FARTHEST = 0.6
"""A piece may nowhere lie farther from the edge than this, px."""

WIDEST_TURN = math.radians(200)
"""A piece may not turn farther than this in all."""


_Numbers = NDArray[np.float64]


def cheapest_way(
    table: NDArray[np.float64],
    places: NDArray[np.intp],
    points: Points,
    *,
    turned: NDArray[np.float64],
    most: int,
    variance: float,
    price: float,
) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
    """Return which candidates start the pieces, shape (m,), and the pieces, shape (m, 4, 2).

    `table`: running sums along the edge, shape (n, 4). `places` and `points`, shapes (k,) and (k, 2):
    the candidates as indices of the edge and in px. `turned`, shape (k - 1,): radians that the edge
    has turned before each step between them. `most`: farthest a piece may reach, in candidates.
    `variance`: px², that noise gives a point of the edge. `price`: of a piece, in units of the noise.
    """
    best, came = np.full(len(places), np.inf), np.zeros(len(places), dtype=np.intp)
    best[0], handles = 0.0, np.zeros((len(places), 4))
    work = np.empty((BLOCKS, 4)), np.empty((3, 2))
    _laid(table, places, points, turned, (most, variance, price), (best, came, handles), work)
    path = [len(places) - 1]
    while path[-1]:
        path.append(int(came[path[-1]]))
    path.reverse()
    ends, between = points[path], handles[path[1:]].reshape(-1, 2, 2)
    pieces = np.concatenate([ends[:-1, None], ends[:-1, None] + between, ends[1:, None]], axis=1)
    return np.array(path[:-1], dtype=np.intp), pieces


@compiled
def _laid(
    table: _Numbers,
    places: NDArray[np.intp],
    points: Points,
    turned: _Numbers,
    measures: tuple[int, float, float],
    found: tuple[_Numbers, NDArray[np.intp], _Numbers],
    work: tuple[_Numbers, _Numbers],
) -> None:
    """Fill in what was `found` for each candidate: least cost, the candidate before, handles from there."""
    (most, variance, price), (best, came, handles), (blocks, piece) = measures, found, work
    for i in range(len(places) - 1):
        misses = 0
        for j in range(i + 1, min(i + most, len(places) - 1) + 1):
            if misses == MISSES or (j > i + 1 and turned[j - 1] - turned[i] > WIDEST_TURN):
                break
            if best[i] + price >= best[j]:
                continue
            piece[2, 0], piece[2, 1] = points[j, 0] - points[i, 0], points[j, 1] - points[i, 1]
            _averaged(table, places[i], places[j], points[i], blocks)
            squares, worst = _fitted(piece, blocks)
            misses = misses + 1 if worst > FARTHEST else 0
            cost = best[i] + price + squares / variance + (1e3 * worst if misses else 0.0)
            if cost < best[j]:
                best[j], came[j] = cost, i
                for k in range(4):
                    handles[j, k] = piece[k // 2, k % 2]


@compiled
def _averaged(table: _Numbers, start: int, stop: int, origin: _Numbers, into: _Numbers) -> None:
    """Average the points of a stretch in blocks: weight, x and y from `origin`, parameter."""
    width = (stop - start) / BLOCKS
    for k in range(BLOCKS):
        # Each point reaches half a step both ways.
        low, high = start + k * width + 0.5, start + (k + 1) * width + 0.5
        for c in range(4):
            into[k, c] = _until(table, high, c) - _until(table, low, c)
        weight = max(into[k, 0], 1e-12)
        into[k, 1], into[k, 2] = into[k, 1] / weight - origin[0], into[k, 2] / weight - origin[1]
        into[k, 3] = min(max((into[k, 3] / weight - start) / (stop - start), 0.0), 1.0)


@compiled
def _until(table: _Numbers, at: float, column: int) -> float:
    """Return the running sum of a column as far as `at`, between two points in proportion."""
    low = min(int(at), len(table) - 2)
    return float(table[low, column] + (at - low) * (table[low + 1, column] - table[low, column]))


@compiled
def _fitted(piece: _Numbers, blocks: _Numbers) -> tuple[float, float]:
    """Fit a cubic from (0, 0) to the blocks; return the weighed squares and the worst distance.

    `piece`, shape (3, 2): two handles, found by least squares in turn with moving each block's
    parameter to its foot, and the end, which is given.
    """
    squares = worst = 0.0
    for _ in range(ROUNDS):
        _handled(piece, blocks)
        squares = worst = 0.0
        for k in range(len(blocks)):
            if blocks[k, 0] > 1e-9:
                off = _footed(piece, blocks[k])
                squares += blocks[k, 0] * off * off
                worst = max(worst, abs(off))
    return squares, worst


@compiled
def _handled(piece: _Numbers, blocks: _Numbers) -> None:
    """Set the two handles that fit best, held weakly at the thirds, which steadies straight pieces."""
    hold, end_x, end_y = 1e-3, piece[2, 0], piece[2, 1]
    m11, m12, m22 = hold, 0.0, hold
    r1x, r1y, r2x, r2y = hold * end_x / 3, hold * end_y / 3, -hold * end_x / 3, -hold * end_y / 3
    for k in range(len(blocks)):
        if blocks[k, 0] > 1e-9:
            t, s = blocks[k, 3], 1 - blocks[k, 3]
            b1, b2 = 3 * s * s * t, 3 * s * t * t
            # The second handle is found as a step from the end.
            x, y = blocks[k, 1] - (t * t * t + b2) * end_x, blocks[k, 2] - (t * t * t + b2) * end_y
            m11, m12, m22 = m11 + b1 * b1, m12 + b1 * b2, m22 + b2 * b2
            r1x, r1y, r2x, r2y = r1x + b1 * x, r1y + b1 * y, r2x + b2 * x, r2y + b2 * y
    det = m11 * m22 - m12 * m12
    piece[0, 0], piece[0, 1] = (m22 * r1x - m12 * r2x) / det, (m22 * r1y - m12 * r2y) / det
    piece[1, 0] = end_x + (m11 * r2x - m12 * r1x) / det
    piece[1, 1] = end_y + (m11 * r2y - m12 * r1y) / det


@compiled
def _footed(piece: _Numbers, block: _Numbers) -> float:
    """Return how far the block lies across the cubic at its parameter, and move that toward its foot."""
    t = block[3]
    ax, bx, cx = _powers(piece[0, 0], piece[1, 0], piece[2, 0])
    ay, by, cy = _powers(piece[0, 1], piece[1, 1], piece[2, 1])
    x, y = block[1] - ((ax * t + bx) * t + cx) * t, block[2] - ((ay * t + by) * t + cy) * t
    u, v = (3 * ax * t + 2 * bx) * t + cx, (3 * ay * t + 2 * by) * t + cy
    square = max(u * u + v * v, 1e-9)
    block[3] = min(max(t + (x * u + y * v) / square, 0.0), 1.0)
    return float((x * v - y * u) / math.sqrt(square))


@compiled
def _powers(first: float, second: float, end: float) -> tuple[float, float, float]:
    """Return the coefficients of t³, t² and t of a cubic from 0."""
    c, b = 3 * first, 3 * (second - 2 * first)
    return end - b - c, b, c
