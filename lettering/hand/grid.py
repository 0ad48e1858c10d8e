"""The grid that a hand's coordinates lie on, so that what is written is what is read."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Contour, straight_pieces
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
    return gridded_all([outline], [shift])[0]


def gridded_all(outlines: Sequence[Outline], shifts: Sequence[float]) -> list[Outline]:
    """Return each outline as `gridded` does; all at once, for numpy is slow at small things."""
    contours = [contour for outline in outlines for contour in outline.contours]
    if not contours:
        return list(outlines)
    sizes = np.array([len(contour) for contour in contours])
    shift = np.repeat(
        [by for outline, by in zip(outlines, shifts, strict=True) for _ in outline.contours], sizes
    )
    on = iter(_on_grid(np.concatenate([contour.knots for contour in contours]), sizes, shift))
    return [
        Outline(
            tuple(contour for _, contour in zip(outline.contours, on, strict=False) if contour is not None)
        )
        for outline in outlines
    ]


def thirds(start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the knots (..., 3, 2) of straight pieces from `start` (..., 2) to `end` (..., 2)."""
    step = end - start
    return np.stack([start, start + step / 3, start + step * 2 / 3], axis=-2)


def lines(contour: Contour) -> NDArray[np.bool_]:
    """Return which pieces of a gridded outline are straight, their handles at the thirds; shape (n,)."""
    pieces = contour.pieces
    straight: NDArray[np.bool_] = (thirds(pieces[:, 0], pieces[:, 3]) == contour.knots).all(axis=(1, 2))
    return straight


def _on_grid(
    knots: NDArray[np.float64], sizes: NDArray[np.intp], shift: NDArray[np.float64]
) -> Iterator[Contour | None]:
    """Yield contours of `sizes` pieces each with their knots on the grid; none for one without extent."""
    after = np.arange(1, len(knots) + 1)
    lasts = np.cumsum(sizes)
    after[lasts - 1] = lasts - sizes
    moved = np.round(knots + np.stack([shift, np.zeros(len(shift))], axis=1)[:, None], DECIMALS) + 0.0
    starts, ends = moved[:, 0], moved[after, 0]
    # A curve that is flat on the grid is straight from now on: a second gridding changes nothing.
    straight = straight_pieces(np.concatenate([knots, knots[after, :1]], axis=1))
    straight |= straight_pieces(np.concatenate([moved, moved[after, :1]], axis=1))
    kept = ~(straight & (starts == ends).all(axis=1))
    moved[straight] = thirds(starts, ends)[straight]
    for last, size in zip(lasts.tolist(), sizes.tolist(), strict=True):
        here = slice(last - size, last)
        yield Contour(moved[here][kept[here]]) if kept[here].any() else None
