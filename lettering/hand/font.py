"""A hand as a font object in memory: what the UFO holds, and what the typeface is compiled from."""

from collections.abc import Sequence

import numpy as np
from fontTools.pens.basePen import AbstractPen
from ufoLib2 import Font
from ufoLib2.objects import Glyph

from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.hand.grid import on_grid, thirds
from lettering.hand.hand import Hand
from lettering.hand.names import glyph_name
from lettering.units import UNITS_PER_EM

NOTDEF = ".notdef"
SPACE = "space"
FIRST, SECOND = "public.kern1.", "public.kern2."
"""How kerning groups are named (UFO 3): all takes of a character kern alike."""


def font_of(hand: Hand) -> Font:
    """Return the hand as a font: measures, glyphs in a stable order, kerning by groups of takes."""
    font = Font()
    _inform(font, hand)
    _add_blank(font, NOTDEF, hand)
    _add_blank(font, SPACE, hand)
    for takes in hand.takes.values():
        for number, take in enumerate(takes, start=1):
            glyph = font.newGlyph(take.name)
            glyph.width = on_grid(take.advance)
            if number == 1 and len(take.char) == 1:
                glyph.unicodes = [ord(take.char)]
            draw(take.outline, glyph.getPen())
    _add_kerning(font, hand)
    font.glyphOrder = [NOTDEF, SPACE, *(take.name for takes in hand.takes.values() for take in takes)]
    return font


def draw(outline: Outline, pen: AbstractPen) -> None:
    """Draw an outline with a pen: a piece whose handles are at the thirds of its chord as a line."""
    for contour in outline.contours:
        pieces, line = contour.pieces, _lines(contour)
        points = [[_point(xy) for xy in piece] for piece in pieces]
        pen.moveTo(points[0][0])
        for piece, straight in zip(points, line, strict=True):
            if straight:
                pen.lineTo(piece[3])
            else:
                pen.curveTo(*piece[1:])
        pen.closePath()


def _lines(contour: Contour) -> list[bool]:
    pieces = contour.pieces
    straight = (thirds(pieces[:, 0], pieces[:, 3]) == pieces[:, :3]).all(axis=(1, 2))
    return [bool(flat) for flat in straight]


def _point(xy: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> tuple[float, float]:
    return on_grid(xy[0]), on_grid(xy[1])


def _inform(font: Font, hand: Hand) -> None:
    measured, info = hand.metrics, font.info
    info.familyName, info.styleName = hand.name, "Regular"
    info.unitsPerEm = UNITS_PER_EM
    info.xHeight, info.capHeight = on_grid(measured.x_height), on_grid(measured.cap_height)
    info.ascender, info.descender = on_grid(measured.ascender), on_grid(measured.descender)
    # A lean to the right is a negative angle here (UFO 3, after the OpenType post table).
    info.italicAngle = on_grid(-np.degrees(measured.slant))


def _add_blank(font: Font, name: str, hand: Hand) -> None:
    """Add the space, or the frame that is shown for what the hand lacks."""
    glyph = font.newGlyph(name)
    if name == SPACE:
        glyph.width, glyph.unicodes = on_grid(hand.metrics.word_space), [ord(" ")]
        return
    glyph.width = on_grid(hand.metrics.x_height)
    _frame(glyph, glyph.width, on_grid(hand.metrics.cap_height), on_grid(max(hand.metrics.stem, 10.0) / 2))


def _frame(glyph: Glyph, width: float, height: float, line: float) -> None:
    left, right = 2 * line, width - 2 * line
    outer = [(left, 0.0), (right, 0.0), (right, height), (left, height)]
    inner = [
        (left + line, line),
        (left + line, height - line),
        (right - line, height - line),
        (right - line, line),
    ]
    for corners in (outer, inner):
        _polygon(glyph, corners)


def _polygon(glyph: Glyph, corners: Sequence[tuple[float, float]]) -> None:
    pen = glyph.getPen()
    pen.moveTo(corners[0])
    for corner in corners[1:]:
        pen.lineTo(corner)
    pen.closePath()


def _add_kerning(font: Font, hand: Hand) -> None:
    for prefix, side in ((FIRST, 0), (SECOND, 1)):
        for char in sorted({pair[side] for pair in hand.kerning} & set(hand.takes)):
            font.groups[prefix + glyph_name(char)] = [take.name for take in hand.takes[char]]
    font.kerning = {
        (FIRST + glyph_name(first), SECOND + glyph_name(second)): on_grid(by)
        for (first, second), by in sorted(hand.kerning.items())
        if first in hand.takes and second in hand.takes
    }
