"""Accents of a hand as combining marks of its typeface, and where letters carry them (OpenType `mark`)."""

import unicodedata
from collections.abc import Iterator

from ufoLib2 import Font

from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.geometry.point import Point
from lettering.hand.font import draw
from lettering.hand.grid import on_grid
from lettering.hand.hand import Hand
from lettering.hand.marks import ABOVE, BELOW, Mark, lifted
from lettering.hand.names import glyph_name

CLEAR = 0.2
"""Distance from a letter to a mark that was lettered by itself, x-heights. House default."""
OGONEK, OGONEK_AT = "\u0328", 0.78
"""Grows out of where the last stroke ends, so far across the letter's foot. Common practice, no source."""


def add_accents(font: Font, hand: Hand) -> None:
    """Add to the font of a hand its marks, of no width, and to every letter the places where they go."""
    marks = {mark: found for mark in (*ABOVE, *BELOW) if (found := _found(mark, hand))}
    for mark, found in marks.items():
        if mark not in hand.takes:
            _add(font, mark, found)
    if not marks:
        return
    for char, takes in hand.takes.items():
        if len(char) > 1 or not char.isalpha() or len(unicodedata.normalize("NFD", char)) > 1:
            continue
        for take in (take for take in takes if take.name in font):
            box = take.outline.bounds
            places = {"top": (0.5, box.y1), "bottom": (0.5, box.y0), "ogonek": (OGONEK_AT, box.y0)}
            for name, (across, height) in places.items():
                _anchor(font, take.name, name, Point(box.x0 + across * box.width, height))


def _found(mark: str, hand: Hand) -> Mark | None:
    """Return a mark as the hand has it: lifted off a letter that was lettered with it, else by itself."""
    below = mark in BELOW
    for accented, base in _lettered_with(mark, hand):
        if found := lifted(hand.takes[accented][0], hand.takes[base][0], below=below):
            return found
    alone = next((char for char in ABOVE.get(mark, BELOW.get(mark, "")) if char in hand.takes), None)
    if alone is None or alone in ".,":  # a full stop is no dot above
        return None
    return Mark(hand.takes[alone][0].outline.contours, CLEAR * hand.metrics.x_height)


def _lettered_with(mark: str, hand: Hand) -> Iterator[tuple[str, str]]:
    """Yield accented letters and their bases; i and j have a dot of their own, which hides what is lifted."""
    for char in hand.takes:
        apart = unicodedata.normalize("NFD", char)
        base = apart[0]
        if apart[1:] == mark and base in hand.takes and base not in "ij":
            yield char, base


def _add(font: Font, mark: str, found: Mark) -> None:
    called = glyph_name(mark)
    glyph = font.newGlyph(called)
    glyph.width, glyph.unicodes = 0, [ord(mark)]
    box, below = found.bounds, mark in BELOW
    centred = Outline(tuple(Contour(contour.knots - (box.centre.x, 0.0)) for contour in found.contours))
    draw(centred, glyph.getPen())
    name = "ogonek" if mark == OGONEK else "bottom" if below else "top"
    height = box.y1 + found.clear if below else box.y0 - found.clear
    _anchor(font, called, f"_{name}", Point(0.0, height))


def _anchor(font: Font, glyph: str, name: str, at: Point) -> None:
    font[glyph].appendAnchor({"name": name, "x": on_grid(at.x), "y": on_grid(at.y)})
