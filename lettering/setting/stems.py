"""How much the pen's line varies in a hand: its strokes measured take against take."""

import numpy as np

from lettering.hand.hand import Hand
from lettering.hand.take import Take

STROKES = "lIitTLhnrkxvzEFHM"
"""Letters of plain strokes, whose ink is their length times their thickness."""
FEWEST_TAKES = 3
"""Takes of one letter from which on they can be compared."""
UNMEASURED = 0.06
"""Variation of a line where the hand has one take of each letter. House default."""
FLATNESS_UNITS = 2.0
"""How closely outlines are followed while strokes are measured."""


def stem_life(hand: Hand) -> float:
    """Return the standard deviation of the stroke's thickness from take to take, in thicknesses."""
    spreads = []
    for char in STROKES:
        widths = np.array([_thickness(take) for take in hand.takes.get(char, ())])
        if len(widths) >= FEWEST_TAKES:
            spreads.append(float(widths.std(ddof=1) / widths.mean()))
    return float(np.median(spreads)) if spreads else UNMEASURED


def _thickness(take: Take) -> float:
    """Return the mean thickness of a letter's strokes, font units: twice its ink over its edge."""
    area = edge = 0.0
    for contour in take.outline.contours:
        corners = contour.flattened(FLATNESS_UNITS)
        steps = np.roll(corners, -1, axis=0) - corners
        edge += float(np.hypot(steps[:, 0], steps[:, 1]).sum())
        area += contour.area
    return 2 * abs(area) / edge
