"""What a letter shows to its neighbours: how far its ink lies back from its box, height by height."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.outline import Outline
from lettering.hand.edges import Edges

LOWEST, HIGHEST, STEP = -600.0, 1400.0, 10.0
"""Where profiles are taken, font units: at an x-height of 4 mm a step is 0.08 mm, thinner than any stroke."""
HEIGHTS = np.arange(LOWEST, HIGHEST, STEP) + STEP / 2
"""Shape (n,): the heights, rising."""


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """How far the ink lies back from the left and right side of its box at each of HEIGHTS, font units."""

    left: NDArray[np.float64]
    """Shape (n,): infinite where there is no ink."""
    right: NDArray[np.float64]
    """Shape (n,): infinite where there is no ink."""


def profiles(edges: Edges) -> list[Profile]:
    """Return what each outline shows to both sides; infinitely far everywhere for one without ink."""
    count = len(edges.bounds)
    least, most = np.full((count, len(HEIGHTS)), np.inf), np.full((count, len(HEIGHTS)), -np.inf)
    owner, height, x, _ = edges.crossings(HEIGHTS[0], STEP, len(HEIGHTS))
    np.minimum.at(least, (owner, height), x)
    np.maximum.at(most, (owner, height), x)
    inked = np.isfinite(least)
    left = np.where(inked, np.maximum(least - edges.bounds[:, :1], 0.0), np.inf)
    right = np.where(inked, np.maximum(edges.bounds[:, 2:3] - most, 0.0), np.inf)
    return [Profile(*sides) for sides in zip(left, right, strict=True)]


def profile(outline: Outline) -> Profile:
    """Return what one outline shows to both sides."""
    return profiles(Edges.of([outline]))[0]
