"""What this page's own letters look like, learnt from the letters that are sure."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.capture.groups import Groups
from lettering.capture.shapes import bounded

STEADIEST = 0.12
"""Takes of one letter are expected to differ at least this much: the square of a tremor against the letter's ink."""
LOOK_ALIKES = ("Il1|!ij", "oO0Q", "'’‘,", "\"”“", "-–—_", "sS5", "cC(", "uUvV", "wW", "xX", "zZ2", "kK", "pP", "tT", "b6", "gq9", "hn", ".:")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Likeness:
    """The sure letters of a page, to hold others against."""

    chars: NDArray[np.str_]
    """Shape (takes,)."""
    numbers: tuple[frozenset[int], ...]
    """The pieces of each take."""
    portraits: NDArray[np.float32]
    """Shape (takes, cells)."""
    usual: float
    """How much two takes of one letter usually differ."""

    @classmethod
    def of_portraits(
        cls, chars: Sequence[str], numbers: Sequence[frozenset[int]], portraits: NDArray[np.float32]
    ) -> "Likeness":
        """Return what is learnt from takes: their characters, their pieces and their portraits."""
        named = np.array(chars)
        bare = cls(chars=named, numbers=tuple(numbers), portraits=portraits, usual=STEADIEST)
        nearest = bare.apart(portraits, numbers, named[:, None] == named[None, :]).min(axis=1)
        known = nearest[np.isfinite(nearest)]
        usual = max(STEADIEST, float(np.median(known))) if len(known) else STEADIEST
        return cls(chars=named, numbers=tuple(numbers), portraits=portraits, usual=usual)

    @classmethod
    def of(cls, takes: Sequence[tuple[str, Groups, int]]) -> "Likeness":
        """Return what is learnt from takes: character, groups of its row, index of its group."""
        return cls.of_portraits(
            [char for char, _, _ in takes],
            [groups.numbers[index] for _, groups, index in takes],
            np.stack([groups.portraits[index] for _, groups, index in takes]),
        )

    def apart(
        self,
        portraits: NDArray[np.float32],
        numbers: Sequence[frozenset[int]],
        wanted: NDArray[np.bool_] | None = None,
    ) -> NDArray[np.float64]:
        """Return how far each portrait is from each take, (portraits, takes): 0 alike, about 1 unrelated.

        It is infinite where the two share a piece (nothing vouches for itself) or are not `wanted`.
        """
        ink = np.einsum("ij,ij->i", portraits, portraits)[:, None] + 1e-6
        own = np.einsum("ij,ij->i", self.portraits, self.portraits)[None, :] + 1e-6
        distance = np.asarray((ink + own - 2 * portraits @ self.portraits.T) / np.maximum(ink, own), dtype=float)
        shared = np.array([[bool(a & b) for b in self.numbers] for a in numbers])
        distance[shared if wanted is None else shared | ~wanted] = np.inf
        return np.maximum(distance, 0)

    def strangeness(self, groups: Groups, chars: Sequence[str]) -> NDArray[np.float64]:
        """Return how ill each group fits the other takes of each character, (groups, chars); NaN: none known."""
        distance = self.apart(groups.portraits, groups.numbers)
        cost = np.full((len(groups.numbers), len(chars)), np.nan)
        for char in set(chars):
            nearest = distance[:, self.chars == char].min(axis=1, initial=np.inf)
            column = np.where(np.isfinite(nearest), 3 * bounded(np.sqrt(nearest / self.usual) / 1.5), np.nan)
            cost[:, [k for k, other in enumerate(chars) if other == char]] = column[:, None]
        return cost


def alike(a: str, b: str) -> bool:
    """Tell whether two characters may be drawn alike, so that their likeness says nothing."""
    return a.casefold() == b.casefold() or any(a in look and b in look for look in LOOK_ALIKES)
