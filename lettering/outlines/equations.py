"""The equations of one step: how the scan would answer to a change of every unknown of an outline."""

import math

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.compiled import compiled
from lettering.geometry.contour import Points
from lettering.outlines.light import Walk
from lettering.outlines.nodes import Nodes

FARTHEST = 3.3
"""Points farther apart than this many standard deviations of their overlap share nothing, to 0.4 %."""

_Numbers = NDArray[np.float64]


def normal_equations(
    nodes: Nodes, walk: Walk, felt: NDArray[np.float64], blur: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the least-squares matrix, shape (unknowns, unknowns), and right side, shape (unknowns,).

    `felt`: what each point of the walk feels of the scan less the model, shape (q,). Both are for a
    contrast and a noise of 1. What two points move is the same light where their kernels overlap:
    neighbours along the outline; what overlaps across a stroke is left out, it only slows the way.
    """
    known, pull = np.zeros((nodes.unknowns, nodes.unknowns)), np.zeros(nodes.unknowns)
    rows = _moved(nodes.pieces, walk.piece, walk.t, walk.normals)
    columns = nodes.columns
    _pulled(pull, rows, columns, walk.piece, felt)
    variance = 2 * (blur**2 + 1 / 12)
    _overlapped(known, rows, columns, walk.piece, walk.points, walk.ahead, walk.around, variance)
    return known + known.T, pull


@compiled
def _moved(pieces: _Numbers, which: NDArray[np.intp], t: _Numbers, normals: Points) -> _Numbers:
    """Return how far each point moves along its normal a unit of the eight unknowns of its piece.

    By the chain rule through the four control points; shape (q, 8), in the order of `Nodes.columns`.
    """
    rows = np.empty((len(t), 8))
    for q in range(len(t)):
        i, u, s, x, y = which[q], t[q], 1 - t[q], normals[q, 0], normals[q, 1]
        near, far = 3 * s * s * u, 3 * s * u * u
        for end in range(2):
            a = pieces[i, 2 * end + 1, 0] - pieces[i, 2 * end, 0]
            b = pieces[i, 2 * end + 1, 1] - pieces[i, 2 * end, 1]
            share, lever = (far + u * u * u, -far) if end else (s * s * s + near, near)
            rows[q, 4 * end], rows[q, 4 * end + 1] = share * x, share * y
            rows[q, 4 * end + 2] = lever * (a * y - b * x)
            rows[q, 4 * end + 3] = lever * (a * x + b * y) / math.sqrt(a * a + b * b)
    return rows


@compiled
def _pulled(
    pull: _Numbers, rows: _Numbers, columns: NDArray[np.intp], which: NDArray[np.intp], felt: _Numbers
) -> None:
    """Add to each unknown of `pull` what its points feel."""
    for q in range(len(rows)):
        for k in range(8):
            pull[columns[which[q], k]] += rows[q, k] * felt[q]


@compiled
def _overlapped(
    known: _Numbers,
    rows: _Numbers,
    columns: NDArray[np.intp],
    which: NDArray[np.intp],
    points: Points,
    ahead: NDArray[np.intp],
    around: NDArray[np.intp],
    variance: float,
) -> None:
    """Add to `known` half of the products of rows, weighed by the overlap of their points' kernels."""
    peak, most = 1 / (2 * math.pi * variance), FARTHEST**2 * variance
    shared = np.zeros(8)
    for q in range(len(rows)):
        here, other = which[q], q
        for _ in range((around[q] + 1) // 2):
            x, y = points[q, 0] - points[other, 0], points[q, 1] - points[other, 1]
            apart = x * x + y * y
            if apart > most:
                break
            if which[other] != here:
                _added(known, columns, which[q], here, rows[q], shared)
                here = which[other]
            share = peak * math.exp(-apart / (2 * variance)) / (2 if other == q else 1)
            for k in range(8):
                shared[k] += share * rows[other, k]
            other = ahead[other]
        _added(known, columns, which[q], here, rows[q], shared)


@compiled
def _added(
    known: _Numbers, columns: NDArray[np.intp], down: int, along: int, row: _Numbers, shared: _Numbers
) -> None:
    """Add the product of `row` and `shared` where pieces `down` and `along` meet, and empty `shared`."""
    for j in range(8):
        for i in range(8):
            known[columns[down, i], columns[along, j]] += row[i] * shared[j]
        shared[j] = 0.0
