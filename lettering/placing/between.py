"""How far the bubbles of two lines keep clear of each other, for all their candidates at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.support import Reach, clearances
from lettering.placing.candidates import Candidates

Clear = NDArray[np.floating]
"""Clear distances (..., n, m), mm; negative where two shapes overlap. In single precision: 0.0001 mm here."""


@dataclass(frozen=True, slots=True, eq=False)
class Between:
    """Clear distances of n candidates of a first line from m of a second, mm."""

    bodies: Clear
    """Body from body, (n, m)."""
    first_tails: Clear
    """Each tail of the first from the body of the second, (speakers, n, m)."""
    second_tails: Clear
    """The body of the first from each tail of the second, (speakers, n, m)."""
    tails: Clear
    """Each tail from each tail, (speakers of both, n, m)."""

    @classmethod
    def of(cls, first: Candidates, second: Candidates) -> "Between":
        """Measure all in one table, for a table costs little more than its numbers."""
        n, m = len(first), len(second)
        table: Clear = (
            clearances(_parts(first), _parts(second)).reshape(-1, n, _count(second), m).swapaxes(1, 2)
        )
        return cls(
            bodies=table[0, 0],
            first_tails=table[1:, 0],
            second_tails=table[0, 1:],
            tails=table[1:, 1:].reshape(-1, n, m),
        )


def _parts(found: Candidates) -> Reach:
    """Return the reach of all bodies, then of all tails of each speaker, (parts x n, directions)."""
    parts = np.concatenate([found.body[None], found.tail_hulls])
    return parts.reshape(-1, parts.shape[-1]).astype(np.float32)


def _count(found: Candidates) -> int:
    return 1 + len(found.tail_hulls)
