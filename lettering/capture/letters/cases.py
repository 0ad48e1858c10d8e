"""Whether a page is lettered in the case in which its reading is typed."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lettering.capture.letters.dealing import Dealt
from lettering.capture.letters.found import Found
from lettering.capture.letters.shapes import expected_shape
from lettering.errors import ReadingError

FEWEST = 12
"""Fewer letters than this tell nothing certain of their case."""
UNEVEN = 0.1
"""Capitals end at one height and on one line within this share of it; small letters do not."""
CLOSER = 0.8
"""Heights of small letters explain ink so much better than one height does, or it is in capitals: the ratio
was .29 to .62 on small letters of ten typefaces that have them, and 2.2 or more on their capitals."""
ODD = 0.5
"""A letter that ends farther off than this share of the height is odd, however far: it counts so much."""


def case_remarks(letters: Sequence[Found], rows: Sequence[Dealt], name: str) -> tuple[str, ...]:
    """Return a remark when small letters are read and capitals drawn, as hands do that letter in these alone.

    Raises ReadingError when rows that are typed in capitals are lettered in small letters. Capitals have one
    height and stand on the line. In small letters it depends on the letter how high it reaches and whether it
    hangs below. A hand that letters in capitals of two sizes has two heights too, but they do not go by the
    letter.
    """
    words = ["".join(row.text.chars) for row in rows]
    capitals = _misfits([a for a in letters if words[a.row].isupper() and a.char.isupper()], rows)
    if capitals and capitals[0] > UNEVEN and capitals[1] < CLOSER * capitals[0]:
        raise ReadingError(
            "the letters of the page look like small letters, and the reading is in capitals",
            name,
            "Type the reading as the page is lettered.",
        )
    small = _misfits([a for a in letters if a.char.islower()], rows)
    if small and small[0] < UNEVEN and small[0] < CLOSER * small[1]:
        return ("the small letters of the reading look like capitals on the page: they are kept as small",)
    return ()


def _misfits(letters: Sequence[Found], rows: Sequence[Dealt]) -> tuple[float, float] | None:
    """Return how ill letters' ends go with one height, and with those of small letters; none for a few."""
    typed = [letter for letter in letters if len(letter.char) == 1]
    if len(typed) < FEWEST:
        return None
    feet = np.array([rows[letter.row].row.baseline.at(letter.middle) for letter in typed])
    ends = np.stack([feet - [a.box.top for a in typed], feet - [a.box.bottom for a in typed]], axis=1)
    small = [expected_shape(letter.char.lower()) for letter in typed]
    shapes = np.array([(shape.top, shape.bottom) for shape in small])
    return _off(ends, np.tile([1.0, 0.0], (len(typed), 1))), _off(ends, shapes)


def _off(ends: NDArray[np.float64], shapes: NDArray[np.float64]) -> float:
    """Return how far letters' ends lie from those of shapes at the size that suits most, share of it."""
    size = float(np.median(ends[:, 0] / shapes[:, 0]))
    scale = size * float(np.median(shapes[:, 0]))
    return float(np.minimum(abs(ends - size * shapes) / scale, ODD).sum(axis=1).mean())
