"""What a line keeps of where and how it stood before."""

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import islice

from lettering.book.line import Line
from lettering.geometry.point import Point
from lettering.placing.former import FormerLine
from lettering.placing.placement import Placement
from lettering.setting.stack import Stack
from lettering.storage.placements import POSITION_DIGITS

SAME_TIP_MM = 0.05
"""A tail that would end this near to where it ended before is left as it was."""

_PARTED = re.compile(r"[^\S\u00a0\u202f]+")


def placed_before(number: int, was: FormerLine, offered: Sequence[Stack]) -> Placement:
    """Return where the line was, in the offered stack that has its former rows, or else in the best."""
    rows = [tuple(row.text for row in stack.rows) for stack in offered]
    shape = rows.index(was.rows) if was.rows in rows else 0
    return Placement(line=number, shape=shape, centre=was.position, tips=was.tips, held=was.held)


def only_as_before(offered: tuple[Stack, ...], was: FormerLine) -> tuple[Stack, ...]:
    """Return the offered stack that has the former rows alone, or all of them when none has."""
    same = tuple(stack for stack in offered if tuple(row.text for row in stack.rows) == was.rows)
    return same[:1] or offered


def as_before(line: Line, was: FormerLine) -> Line:
    """Return the line with its rows forced to be the former ones, when its words are still as many."""
    words = _apart(line.says)
    counts = [len(_apart(row)) for row in was.rows]
    if sum(counts) != len(words):
        return line
    rest = iter(words)
    return replace(line, says="\n".join(" ".join(islice(rest, count)) for count in counts))


def _apart(text: str) -> list[str]:
    """Return the words that a plain space or a line feed parts; spaces that keep words together stay."""
    return [word for word in _PARTED.split(text) if word]


def fixed(before: Placement, held: bool) -> Placement:
    """Return the placement that may not change; its tails are aimed anew unless they are `held`."""
    return replace(before, held=True, tips=before.tips if held else ())


def as_it_was(placement: Placement, before: Placement | None) -> Placement:
    """Return the placement with its former tips, when it has not moved and they differ by rounding only."""
    if before is None or before.centre != placement.centre or len(before.tips) != len(placement.tips):
        return placement
    near = [(a - b).length <= SAME_TIP_MM for a, b in zip(before.tips, placement.tips, strict=True)]
    return replace(placement, tips=before.tips) if all(near) else placement


def as_kept(placement: Placement) -> Placement:
    """Return the placement as it is kept on disk, so that a book looks the same placed now or read back."""
    centre, *tips = (
        Point(round(p.x, POSITION_DIGITS), round(p.y, POSITION_DIGITS))
        for p in (placement.centre, *placement.tips)
    )
    return replace(placement, centre=centre, tips=tuple(tips))
