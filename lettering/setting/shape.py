"""What a stack should look like: a lens, its middle rows longest, about twice as wide as tall."""

from functools import cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SQUARENESS = 2.5
"""Exponent of the superellipse that the rows fill: a touch squarer than an ellipse (2)."""
ASPECT = 2.0
"""Width of the best stack over its height. House default."""
LENS_WEIGHT = 8.0
"""Cost of a row e times too long beside the next. House default: a block of three rows costs 0.2, an
hourglass whose waist is half its ends 10, nearly as much as parting an adjective from its noun."""
ASPECT_WEIGHT = 4.0
"""Cost of a stack e times too wide or too narrow. House default."""


@cache
def lens(rows: int) -> Floats:
    """Return the widths, shape (rows,), that fill a body: 1 is its full width."""
    places = np.arange(rows) - (rows - 1) / 2
    widths: Floats = (1 - np.abs(places / ((rows + 0.5) / 2)) ** SQUARENESS) ** (1 / SQUARENESS)
    widths.setflags(write=False)
    return widths


def step_cost(log_growth: Floats, row: int, rows: int) -> Floats:
    """Return what it costs that `row` (from 0) of `rows` is followed by one exp(log_growth) times as wide."""
    wanted = np.log(lens(rows)[row + 1] / lens(rows)[row])
    cost: Floats = LENS_WEIGHT * (log_growth - wanted) ** 2
    return cost


def aspect_cost(width: float, pitch: float, rows: int) -> float:
    """Return what it costs to set words of a total `width` in so many rows, `pitch` apart, same unit."""
    return float(ASPECT_WEIGHT * np.log(width / rows / (rows * pitch) / ASPECT) ** 2)
