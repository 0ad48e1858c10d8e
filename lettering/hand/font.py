"""A hand as a font object in memory: what the typeface is compiled from."""

import numpy as np
from fontTools.pens.basePen import AbstractPen
from ufoLib2 import Font

from lettering.geometry.outline import Outline
from lettering.hand.font_facts import (
    NOTDEF,
    SPACE,
    font_info,
    frame,
    glyph_order,
    group_kerning,
    kerning_groups,
)
from lettering.hand.grid import lines, on_grid
from lettering.hand.hand import Hand


def font_of(hand: Hand) -> Font:
    """Return the hand as a font: measures, glyphs in a stable order, kerning by groups of takes."""
    font = Font(groups=kerning_groups(hand), kerning=group_kerning(hand))
    for name, value in font_info(hand).items():
        setattr(font.info, name, value)
    outline, width = frame(hand)
    notdef, space = font.newGlyph(NOTDEF), font.newGlyph(SPACE)
    notdef.width = width
    draw(outline, notdef.getPen())
    space.width, space.unicodes = on_grid(hand.metrics.word_space), [ord(" ")]
    for takes in hand.takes.values():
        for number, take in enumerate(takes, start=1):
            glyph = font.newGlyph(take.name)
            glyph.width = on_grid(take.advance)
            if number == 1 and len(take.char) == 1:
                glyph.unicodes = [ord(take.char)]
            draw(take.outline, glyph.getPen())
    font.glyphOrder = glyph_order(hand)
    return font


def draw(outline: Outline, pen: AbstractPen) -> None:
    """Draw an outline with a pen: a piece whose handles are at the thirds of its chord as a line."""
    for contour in outline.contours:
        points = [[_point(xy) for xy in piece] for piece in contour.pieces]
        pen.moveTo(points[0][0])
        for piece, straight in zip(points, lines(contour).tolist(), strict=True):
            if straight:
                pen.lineTo(piece[3])
            else:
                pen.curveTo(*piece[1:])
        pen.closePath()


def _point(xy: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> tuple[float, float]:
    return on_grid(xy[0]), on_grid(xy[1])
