"""The fewest cubic pieces that follow a dense polyline, smooth where it is smooth, its corners kept.

Where to break is not left to halving: every piece reaches as far as the tolerance lets it.
"""

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour, Points
from lettering.geometry.cubic import fit_pieces

Floats = NDArray[np.float64]

FIT_MM = 0.02
"""Farthest a fitted curve may lie from its polyline: half the width of a hair."""

CORNER_DEGREES = 35.0
"""A turn at one point of a dense polyline that is a corner; a smooth curve turns by a few degrees there."""


def fit_closed(points: Points, tolerance: float = FIT_MM, corner_degrees: float = CORNER_DEGREES) -> Contour:
    """Return a closed outline of few cubics within `tolerance` of the polygon `points`, shape (n, 2).

    The polygon must be dense: a smooth stretch turns by less than `corner_degrees` at each of its points,
    every other point is kept as a corner. Raises ValueError for fewer than three different points.
    """
    ring = _distinct(points, closed=True)
    if len(ring) < 3:
        raise ValueError("a closed outline needs three different points")
    corners = np.flatnonzero(_turns(ring, closed=True) > np.radians(corner_degrees))
    if not len(corners):
        start = int(np.argmin(_turns(ring, closed=True)))
        ring = np.concatenate([np.roll(ring, -start, axis=0), ring[start : start + 1]])
        tangent = _tangents(ring[:-1], closed=True)
        return Contour(_reaching(ring, np.concatenate([tangent, tangent[:1]]), tolerance)[:, :3])
    spans = []
    for a, b in zip(corners, [*corners[1:], corners[0] + len(ring)], strict=True):
        spans.append(fit_open(ring[np.arange(a, b + 1) % len(ring)], tolerance, corner_degrees))
    return Contour(np.concatenate(spans)[:, :3])


def fit_open(points: Points, tolerance: float = FIT_MM, corner_degrees: float = CORNER_DEGREES) -> Floats:
    """Return few cubic pieces, shape (k, 4, 2), within `tolerance` of the polyline `points`, shape (n, 2).

    Ends are met exactly and corners inside are kept. Raises ValueError for fewer than two different points.
    """
    line = _distinct(points, closed=False)
    if len(line) < 2:
        raise ValueError("a curve needs two different points")
    corners = np.flatnonzero(_turns(line, closed=False) > np.radians(corner_degrees))
    marks = [0, *(corners + 1), len(line) - 1]
    spans = [line[a : b + 1] for a, b in pairwise(marks)]
    return np.concatenate([_reaching(span, _tangents(span, closed=False), tolerance) for span in spans])


def _reaching(line: Points, tangents: Points, tolerance: float) -> Floats:
    """Return pieces along a smooth polyline, each reaching as far as the tolerance allows."""
    pieces, start, guess = [], 0, len(line) - 1
    while start < len(line) - 1:
        piece, end = _farthest(line, tangents, start, guess, tolerance)
        pieces.append(piece)
        start, guess = end, end - start
    return np.array(pieces)


def _farthest(line: Points, tangents: Points, start: int, guess: int, tolerance: float) -> tuple[Floats, int]:
    """Return the longest piece from index `start` that keeps within tolerance, and the index of its end."""
    last = len(line) - 1
    good, bad = start, last + 1
    best = _single(line, tangents, start, start + 1, tolerance)[0]
    reach = min(start + max(guess, 1), last)
    while bad - good > 1:
        piece, error = _single(line, tangents, start, reach, tolerance)
        if error <= tolerance or reach == start + 1:
            best, good = piece, reach
        else:
            bad = reach
        reach = min(last, start + 2 * (good - start)) if bad > last else (good + bad) // 2
    return best, good


MOST_SAMPLES = 48
"""Points of a stretch that are fitted first; only a stretch that passes with these is tried with all."""


def _single(line: Points, tangents: Points, start: int, end: int, tolerance: float) -> tuple[Floats, float]:
    if end - start == 1:
        step = (line[end] - line[start]) / 3
        return np.array([line[start], line[start] + step, line[end] - step, line[end]]), 0.0
    for count in sorted({min(end - start + 1, MOST_SAMPLES), end - start + 1}):
        chosen = np.round(np.linspace(start, end, count)).astype(int)
        pieces, off = fit_pieces(line[None, chosen], tangents[None, start], tangents[None, end])
        if off[0] > tolerance:
            break
    return pieces[0], float(off[0])


def _distinct(points: Points, *, closed: bool) -> Points:
    """Return the points without any that repeats its predecessor."""
    line = np.asarray(points, dtype=np.float64)
    before = np.roll(line, 1, axis=0)
    keep = np.any(line != before, axis=1)
    if not closed and len(keep):
        keep[0] = True
    return line[keep]


def _turns(line: Points, *, closed: bool) -> Floats:
    """Return the turn at each point in radians, 0..pi; without the two ends of an open polyline."""
    around = np.concatenate([line[-1:], line, line[:1]]) if closed else line
    step = np.diff(around, axis=0)
    heading = np.arctan2(step[:, 1], step[:, 0])
    return np.abs((np.diff(heading) + np.pi) % (2 * np.pi) - np.pi)


def _tangents(line: Points, *, closed: bool) -> Points:
    """Return unit tangents, each that of the circle through a point and its neighbours."""
    around = np.concatenate([line[-1:], line, line[:1]]) if closed else line
    step = np.diff(around, axis=0)
    length = np.linalg.norm(step, axis=1)[:, None]
    # The tangent of that circle weighs each chord's direction by the other chord's length.
    inside = step[:-1] / length[:-1] * length[1:] + step[1:] / length[1:] * length[:-1]
    if not closed:
        if len(step) == 1:
            inside = np.concatenate([step, step])
        else:
            first, last = _mirrored(inside[0], step[0]), _mirrored(inside[-1], step[-1])
            inside = np.concatenate([first[None], inside, last[None]])
    unit: Points = inside / np.linalg.norm(inside, axis=1)[:, None]
    return unit


def _mirrored(tangent: Floats, chord: Floats) -> Floats:
    """Return the tangent at the other end of a chord of the circle that has `tangent` at this end."""
    axis = chord / np.linalg.norm(chord)
    mirrored: Floats = 2 * (tangent @ axis) * axis - tangent
    return mirrored
