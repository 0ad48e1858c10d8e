"""A letter found on a page, before it is cut free; and one that is in doubt."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Found:
    """One character of the reading and the ink that is taken for it."""

    char: str
    row: int
    place: int
    """Index in the row's text, spaces counted."""
    box: Box
    own: NDArray[np.bool_]
    """Shape of the box: the letter's own ink."""
    numbers: frozenset[int]
    """The pieces of ink it is made of, or was cut from."""
    probability: float
    """0..1, how sure it is."""

    @property
    def middle(self) -> float:
        """x of the middle, page px."""
        return (self.box.left + self.box.right) / 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Doubt:
    """A letter of the reading, or ink that it does not name, which is not taken, and why."""

    char: str
    """Empty for ink that the reading does not name."""
    row: int
    place: int
    box: Box | None
    """Where on the page; none when no ink answers to it."""
    reason: str
    found: Found | None = None
    """Its ink; of letters that run together the first has that of all, and all their names."""
