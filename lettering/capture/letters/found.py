"""A letter found on a page, before it is cut free."""

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
