"""An outline moved outward, so that strokes grow heavier."""

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour, Points

MITER = 1.6
"""Farthest a corner moves, in offsets: a sharp stroke end stays an end and does not become a thorn."""


def heavier(contour: Contour, by: float) -> Contour:
    """Return an outline moved outward by `by`, holes inward: glyph space, outer outlines counter-clockwise.

    Each knot moves along its normal, and handles grow with the chord of their piece, after Tiller and Hanson,
    "Offsets of Two-Dimensional Profiles" (1984): close for offsets small beside the curve's radius.
    """
    if by == 0:
        return contour
    p = contour.pieces
    chord = p[:, 3] - p[:, 0]
    leaving = _unit(p[:, 1] - p[:, 0], p[:, 2] - p[:, 0], chord)
    arriving = _unit(p[:, 3] - p[:, 2], p[:, 3] - p[:, 1], chord)
    starts = p[:, 0] + by * _normal(np.roll(arriving, 1, axis=0), leaving)
    ends = np.roll(starts, -1, axis=0)
    grown = np.linalg.norm(ends - starts, axis=1) / np.maximum(np.linalg.norm(chord, axis=1), 1e-9)
    grown = np.where(np.linalg.norm(chord, axis=1) > 1e-9, grown, 1.0)[:, None]
    handles = [starts + (p[:, 1] - p[:, 0]) * grown, ends + (p[:, 2] - p[:, 3]) * grown]
    return Contour(np.stack([starts, *handles], axis=1))


def _unit(*choices: Points) -> Points:
    """Return unit vectors along the first of `choices` that has length, point by point."""
    way = choices[0].copy()
    for other in choices[1:]:
        short = np.linalg.norm(way, axis=1) < 1e-9
        way[short] = other[short]
    length: NDArray[np.float64] = np.maximum(np.linalg.norm(way, axis=1), 1e-9)
    unit: Points = way / length[:, None]
    return unit


def _normal(arriving: Points, leaving: Points) -> Points:
    """Return how a knot moves for an offset of 1 to the right of the way through it."""
    middle = arriving + leaving
    length = np.linalg.norm(middle, axis=1)
    middle = np.where(length[:, None] > 1e-6, middle / np.maximum(length, 1e-9)[:, None], leaving)
    reach = 1 / np.maximum((middle * leaving).sum(axis=1), 1 / MITER)
    normal: Points = np.stack([middle[:, 1], -middle[:, 0]], axis=1) * reach[:, None]
    return normal
