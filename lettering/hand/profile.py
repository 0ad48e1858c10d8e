"""What a letter shows to its neighbours: how far its ink lies back from its box, height by height."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline

LOWEST, HIGHEST, STEP = -600.0, 1400.0, 10.0
"""Where profiles are taken, font units: at an x-height of 4 mm a step is 0.08 mm, thinner than any stroke."""
HEIGHTS = np.arange(LOWEST, HIGHEST, STEP) + STEP / 2
"""Shape (n,): the heights, rising."""
FLATNESS = 2.0
"""Farthest a flattened curve may lie from the curve here, font units."""


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """How far the ink lies back from the left and right side of its box at each of HEIGHTS, font units."""

    left: NDArray[np.float64]
    """Shape (n,): infinite where there is no ink."""
    right: NDArray[np.float64]
    """Shape (n,): infinite where there is no ink."""


def profile(outline: Outline) -> Profile:
    """Return what `outline` shows to both sides; infinitely far everywhere for one without ink."""
    if not outline.contours:
        nothing = np.full(len(HEIGHTS), np.inf)
        return Profile(nothing, nothing)
    sides = [_sides(contour) for contour in outline.contours]
    left = np.min([low for low, _ in sides], axis=0)
    right = np.max([high for _, high in sides], axis=0)
    bounds = outline.bounds
    return Profile(np.maximum(left - bounds.x0, 0.0), np.maximum(bounds.x1 - right, 0.0))


def _sides(contour: Contour) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the least and greatest x of a contour at each height, infinite where it has none."""
    start = contour.flattened(FLATNESS)
    end = np.roll(start, -1, axis=0)
    low, high = np.minimum(start[:, 1], end[:, 1]), np.maximum(start[:, 1], end[:, 1])
    crossed = (low[:, None] <= HEIGHTS) & (high[:, None] > HEIGHTS)
    edge, height = np.nonzero(crossed)
    rise = end[edge, 1] - start[edge, 1]
    share = (HEIGHTS[height] - start[edge, 1]) / rise
    x = start[edge, 0] + share * (end[edge, 0] - start[edge, 0])
    least, most = np.full(len(HEIGHTS), np.inf), np.full(len(HEIGHTS), -np.inf)
    np.minimum.at(least, height, x)
    np.maximum.at(most, height, x)
    return least, most
