"""The gaps she left: neighbouring letters of a row, and the white between words."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from lettering.geometry.rect import Rect
from lettering.hand.take import Drawn


@dataclass(frozen=True, slots=True)
class Gap:
    """The white between two letters of a row, from box to box."""

    first: Drawn
    second: Drawn
    width: float
    """Font units along the row; negative where the boxes overlap."""
    word: int
    """Which word it lies in, counted over all pages."""


@dataclass(frozen=True, slots=True)
class Lettered:
    """All pages' words: the gaps inside them, and those between them."""

    inside: tuple[Gap, ...]
    between: tuple[Gap, ...]
    words: tuple[str, ...]


def lettered(drawn: Sequence[Drawn], bounds: Mapping[int, Rect]) -> Lettered:
    """Return the gaps of all rows; `bounds` holds each letter's box by its identity (`id`).

    Letters at neighbouring places stand in one word. One place between them is a space (or, seldom, a
    letter that was left out, which measures that take a median can bear).
    """
    inside: list[Gap] = []
    between: list[Gap] = []
    words: list[str] = []
    for row in _rows(drawn):
        words.append(row[0].char)
        for first, second in pairwise(row):
            step = second.place - first.place
            gap = Gap(first, second, bounds[id(second)].x0 - bounds[id(first)].x1, len(words) - 1)
            if step == 1:
                inside.append(gap)
                words[-1] += second.char
            else:
                words.append(second.char)
                if step == 2:
                    between.append(gap)
    return Lettered(tuple(inside), tuple(between), tuple(words))


def runs(drawn: Sequence[Drawn]) -> Iterator[list[Drawn]]:
    """Yield the letters of each word: those at neighbouring places of a row."""
    for row in _rows(drawn):
        run = row[:1]
        for letter in row[1:]:
            if letter.place != run[-1].place + 1:
                yield run
                run = []
            run.append(letter)
        yield run


def _rows(drawn: Sequence[Drawn]) -> Iterator[list[Drawn]]:
    """Yield the letters of each row that have ink, from the first place to the last."""
    inked = [letter for letter in drawn if letter.outline.contours]
    inked.sort(key=lambda letter: (letter.source.page, letter.row, letter.place))
    for _, row in groupby(inked, key=lambda letter: (letter.source.page, letter.row)):
        yield list(row)
