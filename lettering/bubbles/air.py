"""How much air a bubble keeps round the ink, and how thick its line is: the house's proportions."""

AIR_X_HEIGHTS = 1.0
"""Least clear distance from ink to outline, in x-heights (house default): about the room of one letter."""

SIDE_SHARE = 0.1
"""Share of air added at the sides (house default), where letters stand like a wall; above and below, the
rows' edge of ascenders and bowls is half empty and looks further away than it measures."""

MOST_AIR = 1.6
"""The most clear distance anywhere round the hull of the ink and its mirror image upside down, as a multiple
of the air: beside the short rows of a stack that narrows there is more."""

LINE_STEMS = 0.8
"""Width of a bubble's line in stems of the hand (house default): it must not outweigh the letters."""


def air_mm(x_height_mm: float) -> float:
    """Return the air for lettering of this x-height, mm."""
    return AIR_X_HEIGHTS * x_height_mm


def line_mm(stem_mm: float) -> float:
    """Return the width of a bubble's line for a hand whose strokes are `stem_mm` thick, mm."""
    return LINE_STEMS * stem_mm
