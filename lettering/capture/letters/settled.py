"""Rows of marks: little in them stands on the baseline, so their text tells how high they hang."""

from collections.abc import Sequence

import numpy as np

from lettering.capture.letters.baseline import Baseline
from lettering.capture.letters.pricing import Text, usual_cost
from lettering.capture.letters.rows import Row, stood_on
from lettering.capture.letters.shapes import expected_shape

FEW = 3
"""A row in which fewer letters stand on the line may have been laid too high or too low."""
LEVEL = 0.1
"""Letters that stand end within so many x-heights of the baseline."""
SMALL = 0.6
"""What is lower than so many x-heights is a mark, not a letter."""
FARTHEST, STEP = 1.0, 0.1
"""How far such a row is tried above and below where its ink seems to stand, x-heights, and how finely."""


def settled(rows: Sequence[Row], texts: Sequence[Text], unit: float, stroke: float) -> list[Row]:
    """Return the rows, those of marks at the height that suits their texts best.

    `unit` is the x-height and `stroke` the usual width of a stroke, px.
    """
    return [
        row if _standing(text) >= FEW else _hung(row, text, unit, stroke)
        for row, text in zip(rows, texts, strict=True)
    ]


def _standing(text: Text) -> int:
    shapes = map(expected_shape, text.chars)
    return sum(abs(shape.bottom) < LEVEL and shape.height > SMALL for shape in shapes)


def _hung(row: Row, text: Text, unit: float, stroke: float) -> Row:
    """Return the row at the height of least cost, the nearest to its own among equals."""
    heights = sorted(np.arange(-FARTHEST, FARTHEST + STEP / 2, STEP).round(3), key=abs)
    tried = [stood_on(row, _raised(row.baseline, height * unit)) for height in heights]
    return min(tried, key=lambda one: usual_cost(one, text, unit, stroke))


def _raised(line: Baseline, by: float) -> Baseline:
    return Baseline(line.x, line.y - by)
