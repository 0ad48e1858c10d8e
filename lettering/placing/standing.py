"""One bubble moved on a spread that is laid out: its tails there, and every hard rule it would break."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lettering.geometry.contour import Points
from lettering.geometry.point import Point
from lettering.placing.broken import alone, between
from lettering.placing.candidates import Candidates, bodies
from lettering.placing.placement import Broken, Placement, SpreadToPlace
from lettering.placing.springing import EVERY, ending_at, with_tails


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Standing:
    """A spread with every bubble in its place, ready to follow one that is moved again and again."""

    spread: SpreadToPlace
    placed: tuple[Candidates, ...]
    """For each line, in speaking order, the one candidate that it stands at."""
    meets: frozenset[tuple[int, int]] = frozenset()
    """Pairs of lines, by number, whose bodies may touch: the book joins them."""

    @classmethod
    def of(
        cls,
        spread: SpreadToPlace,
        placements: Sequence[Placement],
        meets: frozenset[tuple[int, int]] = frozenset(),
    ) -> "Standing":
        """Return `spread` with its lines at `placements`, one for each line in speaking order."""
        lines = zip(spread.lines, placements, strict=True)
        return cls(
            spread=spread, placed=tuple(_at(spread, i, p) for i, (_, p) in enumerate(lines)), meets=meets
        )

    def moved(self, placement: Placement) -> "Standing":
        """Return the spread with the line that `placement` numbers moved there.

        The tails end at the placement's tips; where it gives none they are aimed anew. Raises KeyError when
        the spread has no such line.
        """
        index = self._index(placement.line)
        one = _at(self.spread, index, placement)
        return replace(self, placed=(*self.placed[:index], one, *self.placed[index + 1 :]))

    def tips(self, placement: Placement) -> tuple[Point, ...]:
        """Return where the tails of a line at `placement` end, for each speaker, mm: as it says, or aimed."""
        line = self.spread.lines[self._index(placement.line)]
        if len(placement.tips) == len(line.speakers):
            return placement.tips
        here = bodies(line, np.array([placement.shape]), _point(placement.centre))
        found = with_tails(self.spread, here, EVERY)
        return tuple(Point(*map(float, tail.tip[0])) for tail in found.tails)

    @property
    def all_broken(self) -> tuple[Broken, ...]:
        """Every hard rule that the spread breaks, each once."""
        found = (rule for line in self.spread.lines for rule in self.broken(line.line))
        return tuple(dict.fromkeys(found))

    def broken(self, number: int) -> tuple[Broken, ...]:
        """Return every hard rule that line `number` breaks, alone or with another line; about a millisecond.

        Measured as placing measures: bodies and tails as convex areas, with the room that drawing needs.
        """
        return tuple(self._broken(self._index(number)))

    def _broken(self, index: int) -> Iterator[Broken]:
        one = self.placed[index]
        yield from alone(self.spread, one)
        for other, standing in enumerate(self.placed):
            if other != index:
                first, second = (standing, one) if other < index else (one, standing)
                joined = (first.line.line, second.line.line) in self.meets
                # Where a neck joins them the second has no tail, and may bear that of the first.
                meant = {"overlap"} if second.tails else {"overlap", "tail"}
                both = between(self.spread, first, second)
                yield from (rule for rule in both if not (joined and rule.rule in meant))

    def _index(self, number: int) -> int:
        for index, line in enumerate(self.spread.lines):
            if line.line == number:
                return index
        raise KeyError(number)


def _at(spread: SpreadToPlace, index: int, placement: Placement) -> Candidates:
    """Return the one candidate of a line at `placement`."""
    here = bodies(spread.lines[index], np.array([placement.shape]), _point(placement.centre))
    found = with_tails(spread, here)
    if len(placement.tips) != len(found.tails):
        return found
    return ending_at(spread, found, [_point(tip) for tip in placement.tips])


def _point(point: Point) -> Points:
    return np.array([(point.x, point.y)])
