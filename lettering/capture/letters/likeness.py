"""What this page's own letters look like, learnt from the letters that are sure."""

from collections import defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from lettering.capture.letters.shapes import bounded

STEADIEST = 0.12
"""Takes of one letter differ at least this much, as a share of the letter's ink (squared)."""
LOOK_ALIKES = (
    "Il1|!ij",
    "O0Q",
    "'’‘,",
    '"”“',
    "-–—_",
    "S5",
    "C(",
    "UV",
    "uv",
    "Z2",
    "b6",
    "gq9",
    "hn",
    ".:;",
)
"""Characters that many people draw nearly alike, besides a capital and its small letter."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Likeness:
    """The sure letters of a page, to hold others against."""

    chars: NDArray[np.str_]
    """Shape (takes,)."""
    numbers: tuple[frozenset[int], ...]
    """The pieces of each take."""
    portraits: NDArray[np.float32]
    """Shape (takes, cells)."""
    widths: NDArray[np.float64]
    """Shape (takes,), x-heights."""
    usual: float
    """How much two takes of one letter usually differ."""

    @classmethod
    def of(
        cls,
        chars: Sequence[str],
        numbers: Sequence[frozenset[int]],
        portraits: NDArray[np.float32],
        widths: Sequence[float],
    ) -> "Likeness":
        """Return what is learnt from takes: their characters, pieces, portraits and widths in x-heights."""
        named = np.array(chars)
        bare = cls(
            chars=named, numbers=tuple(numbers), portraits=portraits, widths=np.array(widths), usual=STEADIEST
        )
        nearest = bare.apart(portraits, numbers, named[:, None] == named[None, :]).min(axis=1, initial=np.inf)
        known = nearest[np.isfinite(nearest)]
        usual = max(STEADIEST, float(np.median(known))) if len(known) else STEADIEST
        return replace(bare, usual=usual)

    def only(self, chars: Collection[str]) -> "Likeness":
        """Return the takes of some characters alone."""
        kept = np.flatnonzero(np.isin(self.chars, list(chars)))
        return replace(
            self,
            chars=self.chars[kept],
            numbers=tuple(self.numbers[i] for i in kept),
            portraits=self.portraits[kept],
            widths=self.widths[kept],
        )

    def renumbered(self, numbers: NDArray[np.int32]) -> "Likeness":
        """Return the same takes of pieces that have new numbers, shape (old numbers,)."""
        return replace(self, numbers=tuple(frozenset(numbers[list(old)].tolist()) for old in self.numbers))

    def other_widths(self, char: str, numbers: frozenset[int]) -> NDArray[np.float64]:
        """Return the widths of the takes of a character that share none of the pieces `numbers`."""
        apart = [not pieces & numbers for pieces in self.numbers]
        return np.asarray(self.widths[(self.chars == char) & np.array(apart, dtype=np.bool_)])

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
        distance = np.asarray(
            (ink + own - 2 * portraits @ self.portraits.T) / np.maximum(ink, own), dtype=float
        )
        shared = _shared(numbers, self.numbers)
        distance[shared if wanted is None else shared | ~wanted] = np.inf
        return np.asarray(np.maximum(distance, 0))

    def strangeness(
        self, portraits: NDArray[np.float32], numbers: Sequence[frozenset[int]], chars: Sequence[str]
    ) -> NDArray[np.float64]:
        """Return how ill each portrait fits the other takes of each character, (portraits, chars).

        It is NaN where no take is known.
        """
        distance = self.apart(portraits, numbers)
        cost = np.full((len(portraits), len(chars)), np.nan)
        for char in set(chars):
            nearest = distance[:, self.chars == char].min(axis=1, initial=np.inf)
            column = np.where(np.isfinite(nearest), 3 * bounded(np.sqrt(nearest / self.usual) / 1.5), np.nan)
            cost[:, [k for k, other in enumerate(chars) if other == char]] = column[:, None]
        return cost


def _shared(a: Sequence[frozenset[int]], b: Sequence[frozenset[int]]) -> NDArray[np.bool_]:
    """Return which sets have a member in common, shape (len(a), len(b))."""
    holders = defaultdict[int, list[int]](list)
    for column, numbers in enumerate(b):
        for number in numbers:
            holders[number].append(column)
    shared = np.zeros((len(a), len(b)), dtype=np.bool_)
    for row, numbers in enumerate(a):
        shared[row, [column for number in numbers for column in holders.get(number, ())]] = True
    return shared


@cache
def alike(a: str, b: str) -> bool:
    """Tell whether two characters may be drawn alike, so that their likeness says nothing."""
    return a.casefold() == b.casefold() or any(a in look and b in look for look in LOOK_ALIKES)
