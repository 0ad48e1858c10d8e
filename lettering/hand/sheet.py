"""A sheet to letter on: pale guides, the words it asks for, and marks by which its picture is understood."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.point import Point
from lettering.geometry.rect import Rect

SIDE_MM = 20.0
"""Blank paper left and right of the rows."""
HEAD_MM, FOOT_MM = 27.0, 44.0
"""Room for the marks above the first row and below the last."""
PROMPT_MM = 3.3
"""Size of the words that are asked for, as type is measured, over each row."""
ABOVE, BELOW = 1.75, 0.65
"""How far ascenders rise and descenders fall, x-heights, and a little more (common practice, no source)."""
CAPITALS = 1.4
"""Height of the guide for capitals, x-heights (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row to letter."""

    text: str
    baseline_mm: float
    """From the top of the sheet."""


@dataclass(frozen=True, slots=True, eq=False)
class Code:
    """A square code as printed."""

    box: Rect
    dots: NDArray[np.bool_]
    """Shape (n, n), dark ones true, from the top left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A sheet ready to print, mm from its top left corner, y down."""

    title: str
    size_mm: tuple[float, float]
    x_height_mm: float
    rows: tuple[SheetRow, ...]
    discs: tuple[Point, ...]
    disc_mm: float
    """Radius."""
    codes: tuple[Code, ...]

    @property
    def guides(self) -> Iterator[tuple[float, bool]]:
        """Heights of the guide lines, mm, and whether it is a strong one: baseline and x-height are."""
        for row in self.rows:
            for height, strong in ((CAPITALS, False), (1.0, True), (0.0, True)):
                yield row.baseline_mm - height * self.x_height_mm, strong


def rows_that_fit(size_mm: tuple[float, float], x_height_mm: float) -> tuple[int, float]:
    """Return how many rows a sheet holds, and how wide they are in x-heights."""
    count = int((size_mm[1] - HEAD_MM - FOOT_MM) // _pitch(x_height_mm))
    return max(count, 1), (size_mm[0] - 2 * SIDE_MM) / x_height_mm


def set_rows(texts: Sequence[str], size_mm: tuple[float, float], x_height_mm: float) -> tuple[SheetRow, ...]:
    """Return the rows one below the other, shared out over the sheet's height, at most half as far again."""
    room = (size_mm[1] - HEAD_MM - FOOT_MM) / len(texts)
    pitch = min(room, 1.5 * _pitch(x_height_mm))
    first = HEAD_MM + PROMPT_MM * 1.4 + ABOVE * x_height_mm
    return tuple(SheetRow(text, first + i * pitch) for i, text in enumerate(texts))


def _pitch(x_height_mm: float) -> float:
    return PROMPT_MM * 1.4 + (ABOVE + BELOW) * x_height_mm
