"""Rows of ink that the reading does not speak of: drawings above, below and between the lettering."""

from collections.abc import Sequence
from itertools import combinations

import numpy as np

from lettering.capture.letters.pricing import Text, usual_cost
from lettering.capture.letters.rows import Row
from lettering.errors import ReadingError, counted

MOST_SPARE = 3
"""More rows than this that the reading does not speak of are another page, not drawings beside this one."""
STANDING = 0.2
"""Letters end within so many x-heights of the baseline below, and of one of two heights above."""
LETTERED = 0.6
"""Share of a row's ink that stands so, from which on it is lettering: in 11 of 12 typefaces 0.64 or more."""
TALLS = (1.2, 2.0)
"""Capitals and ascenders reach between so many x-heights."""


def spoken_of(rows: Sequence[Row], texts: Sequence[Text], unit: float, stroke: float, name: str) -> list[Row]:
    """Return the rows that the reading names, one for each of `texts`, from all `rows` of a page.

    `unit` is the x-height and `stroke` the usual width of a stroke, px. Raises ReadingError when none is
    lettering, or more or fewer are than the reading has.
    """
    spare = len(rows) - len(texts)
    if not spare:
        return list(rows)
    lettered = sum(_is_lettered(row, unit) for row in rows)
    if not lettered:
        raise ReadingError(
            "what is in the picture does not look like lettering",
            name,
            "See that this is the lettered page, and that it fills most of the picture.",
        )
    if not 0 <= spare <= MOST_SPARE or lettered > len(texts):
        were = "was" if len(rows) == 1 else "were"
        raise ReadingError(
            f"{counted(len(rows), 'row')} of lettering {were} found, and the reading has {len(texts)}",
            name,
            "Type one row of text for each row of the page, and show the whole of one page in the picture.",
        )
    costs = np.full((len(rows), len(texts)), np.inf)
    for k, text in enumerate(texts):
        for number in range(k, k + spare + 1):
            costs[number, k] = usual_cost(rows[number], text, unit, stroke)
    left_out = min(
        combinations(range(len(rows)), spare),
        key=lambda out: float(np.trace(np.delete(costs, out, axis=0))),
    )
    return [row for number, row in enumerate(rows) if number not in left_out]


def left_out(spare: int) -> tuple[str, ...]:
    """Return a remark when rows of ink were left out."""
    if not spare:
        return ()
    rows = (
        "a row of ink that does not look like lettering was"
        if spare == 1
        else (f"{spare} rows of ink that do not look like lettering were")
    )
    return (f"{rows} left out: the reading does not speak of it",)


def _is_lettered(row: Row, unit: float) -> bool:
    """Tell whether most of a row's ink stands on one line and reaches the heights that letters have."""
    boxes = [piece.box for piece in row.pieces if piece.box.height > 0.6 * unit]
    feet = np.array([row.baseline.at((box.left + box.right) / 2) for box in boxes])
    below = (feet - [box.bottom for box in boxes]) / unit
    above = (feet - [box.top for box in boxes]) / unit
    level = (np.abs(above - 1) < STANDING) | ((above > TALLS[0]) & (above < TALLS[1]))
    return float(np.mean((np.abs(below) < STANDING) & level)) > LETTERED
