"""Letters found on a page, before they are cut free."""

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
    box: Box
    own: NDArray[np.bool_]
    """Shape of the box: the letter's own ink."""
    numbers: frozenset[int]
    """The pieces of ink it is made of, or was cut from."""
    probability: float
    """Among all ways of dealing the row's pieces to its characters."""
    cost: float
    """How ill its ink fits the character (nats)."""
