"""The arms of corners: blur hides how they run in the last px, where a pen's stroke hardly bends."""

import math

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.compiled import compiled
from lettering.outlines.nodes import Nodes

ARM = 2.0
"""Length of a corner's arm that is held straight on each side, px: as far as blur hides its shape."""

BENT = 0.1
"""Usual bend of an arm, radians: with less round ends become corners, with more kinks stray by 20 degrees."""

STEPS = 16
"""Steps in which a piece is walked to find where its arm ends."""

SMALL = 1e-5
"""Change of an unknown by which slopes are taken, px or radians."""

_Numbers = NDArray[np.float64]


def turned(nodes: Nodes, reach: float) -> tuple[_Numbers, _Numbers]:
    """Return how far the outline turns, radians, in the `reach` px before and after each node, shape (n,).

    Another corner is met half way: the end of a blunt stroke belongs to both of its corners.
    """
    pieces, before = _ends(nodes), np.empty_like(nodes.after)
    before[nodes.after] = np.arange(len(nodes))
    # A piece is followed until it ends in a corner; walked backward until it starts in one.
    after = _turned(pieces, nodes.corner[nodes.after], nodes.after, 0, reach)
    until = _turned(pieces, nodes.corner, before, 1, reach)
    return until[before], after


def strain(nodes: Nodes) -> float:
    """Return how unusual the bends of the arms of all corners are, in units of the noise (chi squared)."""
    return float(_strain(_ends(nodes), nodes.corner, nodes.after) * BENT**-2)


def straighten(nodes: Nodes, known: _Numbers, pull: _Numbers) -> None:
    """Add to the equations of one step what the strain asks of it.

    `known`: the matrix, shape (unknowns, unknowns). `pull`: the right side, shape (unknowns,).
    """
    _straighten(_ends(nodes), nodes.columns, nodes.corner, nodes.after, BENT**-2, known, pull)


def _ends(nodes: Nodes) -> _Numbers:
    """Return the unknowns of each piece, shape (n, 8), in the order of `Nodes.columns`."""
    after = nodes.after
    start = [*nodes.places.T, nodes.leave, nodes.first]
    end = [*nodes.places[after].T, nodes.arrive[after], nodes.second]
    return np.stack(start + end, axis=1)


@compiled
def _strain(pieces: _Numbers, corner: NDArray[np.bool_], after: NDArray[np.intp]) -> float:
    total = 0.0
    for i in range(len(pieces)):
        for end in range(2):
            if corner[after[i] if end else i]:
                total += _bend(pieces[i], end) ** 2
    return total


@compiled
def _straighten(
    pieces: _Numbers,
    columns: NDArray[np.intp],
    corner: NDArray[np.bool_],
    after: NDArray[np.intp],
    stiff: float,
    known: _Numbers,
    pull: _Numbers,
) -> None:
    slopes = np.empty(8)
    for i in range(len(pieces)):
        for end in range(2):
            if corner[after[i] if end else i]:
                bend = _bend(pieces[i], end)
                for k in range(8):
                    kept = pieces[i, k]
                    pieces[i, k] = kept + SMALL
                    slopes[k] = (_bend(pieces[i], end) - bend) / SMALL
                    pieces[i, k] = kept
                for k in range(8):
                    pull[columns[i, k]] -= stiff * slopes[k] * bend
                    for other in range(8):
                        known[columns[i, k], columns[i, other]] += stiff * slopes[k] * slopes[other]


@compiled
def _bend(piece: _Numbers, end: int) -> float:
    """Return how far a piece turns in ARM px from one end, radians, as one walks along the outline."""
    return _walked(piece, end, ARM)[0]


@compiled
def _walked(piece: _Numbers, end: int, reach: float) -> tuple[float, float]:
    """Return how far a piece turns in `reach` px from one end, radians, and how many px of these it has."""
    here, there, side = (4, 0, -1.0) if end else (0, 4, 1.0)
    ax = side * piece[here + 3] * math.cos(piece[here + 2])
    ay = side * piece[here + 3] * math.sin(piece[here + 2])
    cx = side * piece[there + 3] * math.cos(piece[there + 2])
    cy = side * piece[there + 3] * math.sin(piece[there + 2])
    bx, by = piece[there] - piece[here] - ax - cx, piece[there + 1] - piece[here + 1] - ay - cy
    gone, x, y = 0.0, ax, ay
    for k in range(STEPS):
        t = (k + 0.5) / STEPS
        s = 1 - t
        step = math.hypot(s * s * ax + 2 * s * t * bx + t * t * cx, s * s * ay + 2 * s * t * by + t * t * cy)
        step = max(3 * step / STEPS, 1e-9)
        gone += step
        t = (k + 1 - max(gone - reach, 0.0) / step) / STEPS
        s = 1 - t
        x, y = s * s * ax + 2 * s * t * bx + t * t * cx, s * s * ay + 2 * s * t * by + t * t * cy
        if gone >= reach:
            break
    return side * math.atan2(ax * y - ay * x, ax * x + ay * y), min(gone, reach)


@compiled
def _turned(
    pieces: _Numbers, corner: NDArray[np.bool_], follows: NDArray[np.intp], end: int, reach: float
) -> _Numbers:
    """Return how far the outline turns from one end of each piece on; `corner`: whether it ends in one."""
    found = np.zeros(len(pieces))
    for i in range(len(pieces)):
        room = _led(pieces, corner, follows, i, end, 2 * reach)[1]
        found[i] = _led(pieces, corner, follows, i, end, room / 2)[0]
    return found


@compiled
def _led(
    pieces: _Numbers, corner: NDArray[np.bool_], follows: NDArray[np.intp], at: int, end: int, reach: float
) -> tuple[float, float]:
    """Return how far the outline turns on its way to a corner, radians, and the way, px; at most `reach`."""
    turns, left = 0.0, reach
    for _ in range(len(pieces)):
        turn, gone = _walked(pieces[at], end, left)
        turns, left = turns + turn, left - gone
        if left <= 1e-6 or corner[at]:
            break
        at = follows[at]
    return turns, reach - left
