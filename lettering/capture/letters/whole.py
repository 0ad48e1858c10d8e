"""Which letters are whole: held against the hand's own takes, edge to edge.

A cut in the wrong place leaves a letter short of an end, or gives it some of its neighbour's. Measures that
add up over the letter hardly notice; its farthest stray ink does.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.letters.cuts import Cut, trimmed
from lettering.capture.letters.laying import MOST_TAKES, Model
from lettering.capture.letters.rows import Row
from lettering.capture.letters.straying import straying

MOST = 0.95
"""Share of a hand's letters that stand alone, of which each strays so little from the next like it …"""
ROOM = 1.6
"""… that another may stray so many times as far. Of 1700 cuts on seven typefaces whose truth is known, 97 %
of the right ones do not stray farther, and none of 22 wrong ones strays less than 1.8 times as far."""
LEAST, FARTHEST = 0.06, 0.15
"""What a hand may stray at least, and at most, x-heights: a cell of the comparison, and a stroke."""
PLAUSIBLE = 5.0
"""A letter seen nowhere else may fit what is usual no worse than this (nats), its neighbours being whole."""
PLAIN = 2.2
"""Where two such stand side by side nothing tells where one ends but their build: it must fit so well."""


@dataclass(frozen=True, eq=False)
class Wholeness:
    """Tells whole letters from others on one page."""

    models: Mapping[str, Sequence[Model]]
    """The takes of each letter that stand alone."""
    unit: float
    """x-height, px."""
    former: "Wholeness | None" = None
    """What was told of this hand before some of its strokes were joined: how far it strays stands."""

    def of_letter(
        self, row: Row, char: str, own: NDArray[np.bool_], box: Box, numbers: frozenset[int]
    ) -> bool | None:
        """Tell whether ink, shape of `box`, of pieces `numbers` is a whole letter; none without takes."""
        takes = [take for take in self.models.get(char, ()) if not take.numbers & numbers][:MOST_TAKES]
        if not takes:
            return None
        tight, bare = trimmed(own, box)
        ink = Model(bare, row.baseline.at((tight.left + tight.right) / 2) - tight.top, numbers)
        return any(straying(ink, take, self.unit) <= self.most for take in takes)

    def of_cut(self, row: Row, cut: Cut, numbers: frozenset[int]) -> tuple[bool, ...]:
        """Return which parts of a cut through pieces `numbers` are whole letters for certain.

        A letter seen nowhere else is what its neighbours leave: it is whole when they are.
        """
        by_takes = [
            self.of_letter(row, char, part, cut.box, numbers)
            for char, part in zip(cut.chars, cut.parts, strict=True)
        ]
        return tuple(
            _left_whole(cut, by_takes, k) if known is None else known for k, known in enumerate(by_takes)
        )

    @cached_property
    def most(self) -> float:
        """How far a letter may stray from its nearest take, x-heights."""
        if self.former:
            return self.former.most
        strays = [
            min(straying(take, other, self.unit) for other in takes[:MOST_TAKES] if other is not take)
            for takes in self.models.values()
            for take in takes[:MOST_TAKES]
            if len(takes) > 1
        ]
        return float(np.clip(ROOM * np.quantile(strays or [0.0], MOST), LEAST, FARTHEST))


def _left_whole(cut: Cut, by_takes: list[bool | None], part: int) -> bool:
    """Tell whether a letter without takes is what whole neighbours leave, and may be what is read."""
    beside = by_takes[max(part - 1, 0) : part] + by_takes[part + 1 : part + 2]
    return False not in beside and cut.ills[part] <= (PLAIN if None in beside else PLAUSIBLE)
