"""What a font file says of a hand beside its takes: names, measures, blanks, the order of glyphs, kerning."""

from typing import Any

import numpy as np

from lettering.geometry.contour import Contour
from lettering.geometry.outline import Outline
from lettering.geometry.rect import Rect
from lettering.hand.grid import gridded, on_grid
from lettering.hand.hand import Hand
from lettering.hand.names import glyph_name
from lettering.units import UNITS_PER_EM

NOTDEF = ".notdef"
SPACE = "space"
FIRST, SECOND = "public.kern1.", "public.kern2."
"""How kerning groups are named (UFO 3): all takes of a character kern alike."""


def font_info(hand: Hand) -> dict[str, Any]:
    """Return the names and measures of a hand under their names in UFO 3."""
    measured = hand.metrics
    return {
        "familyName": hand.name,
        "styleName": "Regular",
        "unitsPerEm": UNITS_PER_EM,
        "xHeight": on_grid(measured.x_height),
        "capHeight": on_grid(measured.cap_height),
        "ascender": on_grid(measured.ascender),
        "descender": on_grid(measured.descender),
        # A lean to the right is a negative angle here (UFO 3, after the OpenType post table).
        "italicAngle": on_grid(-np.degrees(measured.slant)),
    }


def glyph_order(hand: Hand) -> list[str]:
    """Return the names of all glyphs: blanks first, then takes by character."""
    return [NOTDEF, SPACE, *(take.name for takes in hand.takes.values() for take in takes)]


def frame(hand: Hand) -> tuple[Outline, float]:
    """Return the outline and the advance of what is shown for a character that the hand lacks."""
    width, height = on_grid(hand.metrics.x_height), on_grid(hand.metrics.cap_height)
    line = on_grid(max(hand.metrics.stem, 10.0) / 2)
    outer = Rect(2 * line, 0.0, width - 2 * line, height)
    edges = (Contour.rectangle(outer), Contour.rectangle(outer.inset(line)).reversed())
    return gridded(Outline(edges)), width


def kerning_groups(hand: Hand) -> dict[str, list[str]]:
    """Return the groups of takes that kern alike, by the names that UFO 3 wants."""
    return {
        prefix + glyph_name(char): [take.name for take in hand.takes[char]]
        for prefix, side in ((FIRST, 0), (SECOND, 1))
        for char in sorted({pair[side] for pair in hand.kerning} & set(hand.takes))
    }


def group_kerning(hand: Hand) -> dict[tuple[str, str], float]:
    """Return the kerning of groups, font units."""
    return {
        (FIRST + glyph_name(first), SECOND + glyph_name(second)): on_grid(by)
        for (first, second), by in sorted(hand.kerning.items())
        if first in hand.takes and second in hand.takes
    }
