"""Sounds: a row of lettering on the art, along an arc, a wave, a rise, a dwindling line or a given way."""

from dataclasses import replace

from lettering.book.line import Line
from lettering.setting.along import filling, set_along
from lettering.setting.course import course, free, straight
from lettering.setting.row import LooseRow
from lettering.setting.stack import Stack

DWINDLES = 1.8
"""How large a dwindling sound begins, beside its end. House default."""
LARGEST = 5.0
"""How large a sound may grow to fill its given way, beside plain speech. House default."""


def set_sound(row: LooseRow, line: Line, x_height_mm: float) -> Stack:
    """Return a sound's straight row along the way that its line asks for.

    Without a way it runs straight; a named course takes its length from the row. Along a way that was given
    the row grows to fill it, and is never smaller than `x_height_mm`: words too long for their way run on
    past its ends.
    """
    outline = line.outline_mm
    if line.along is not None and not isinstance(line.along, str):
        way = free(line.along)
        size = filling(row, way, most=LARGEST, outline_mm=outline)
        return set_along(row, way, x_height_mm=x_height_mm * size, sizes=(size, size), outline_mm=outline)
    sizes = (DWINDLES, 1.0) if line.along == "shrinking" else (1.0, 1.0)
    length = _length(row, outline) * sum(sizes) / 2
    stack = set_along(
        row,
        course(line.along, length, x_height_mm) if line.along else straight(length),
        x_height_mm=x_height_mm,
        sizes=sizes,
        outline_mm=outline,
    )
    return replace(stack, fixed_at=None)


def _length(row: LooseRow, outline: float) -> float:
    """Return the length of a straight row with an outline round each of its letters, mm."""
    return row.ink.width + 2 * outline * len(row.letters)
