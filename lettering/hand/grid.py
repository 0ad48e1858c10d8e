"""The grid that a hand's coordinates lie on, so that what is written is what is read."""

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline

DECIMALS = 1
"""Digits behind the point of a font unit: at an x-height of 4 mm a tenth of a unit is 0.8 micrometres."""


def on_grid(value: float) -> float:
    """Return the number on the grid that is nearest, never a negative zero."""
    return round(float(value), DECIMALS) + 0.0


def gridded(outline: Outline, shift: float = 0.0) -> Outline:
    """Return the outline displaced by `shift` along x, with its points on the grid.

    Handles of straight pieces are put at the thirds of the chord, which is how a line read from a file
    comes back. Pieces that shrink to a point are left out, and contours with nothing left.
    """
    contours = (_gridded(contour, shift) for contour in outline.contours)
    return Outline(tuple(contour for contour in contours if contour is not None))


def thirds(start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the knots (..., 3, 2) of straight pieces from `start` (..., 2) to `end` (..., 2)."""
    step = end - start
    return np.stack([start, start + step / 3, start + step * 2 / 3], axis=-2)


def _gridded(contour: Contour, shift: float) -> Contour | None:
    knots = np.round(contour.knots + (shift, 0.0), DECIMALS) + 0.0
    # A curve that is flat on the grid is straight from now on: a second gridding changes nothing.
    straight = contour.straight | Contour(knots.copy()).straight
    starts = knots[:, 0]
    ends = np.roll(starts, -1, axis=0)
    kept = ~(straight & (starts == ends).all(axis=1))
    if not kept.any():
        return None
    knots[straight] = thirds(starts, ends)[straight]
    return Contour(knots[kept])
