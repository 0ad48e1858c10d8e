"""The body of a thought: a cloud of scallops that sit on a calm outline."""

import numpy as np

from lettering.bubbles.chance import Chance
from lettering.bubbles.ring import spaced
from lettering.geometry.contour import Contour
from lettering.geometry.walk import Walk

SCALLOP_AIRS = 2.3
"""Width of a scallop in airs on the smallest body; it grows with the perimeter."""

GROWTH = 1 / 30
"""How much of the perimeter is added to the width of a scallop."""

FEWEST = 7
"""Scallops of the smallest cloud; fewer look like a flower."""

UNEVEN = 0.11
"""Spread of the scallops' widths about their mean."""

SWELL = 0.44
"""Length of a scallop's handles in chords."""

OPENING = np.radians(68.0)
"""Angle between a scallop's handles and its chord: it swells to a third of its width."""


def cloud(core: Contour, air: float, chance: Chance) -> Contour:
    """Return a cloud whose scallops meet on `core`, one cubic piece each, cusps between them."""
    walk = Walk.along(core)
    width = SCALLOP_AIRS * air + GROWTH * walk.length
    ways = spaced(walk, max(FEWEST, round(walk.length / width)), UNEVEN, chance)
    cusps = np.array([(p.x, p.y) for p in (walk.point(walk.place(way)) for way in ways)])
    chord = np.roll(cusps, -1, axis=0) - cusps
    outward = np.stack([chord[:, 1], -chord[:, 0]], axis=1)
    out = SWELL * (np.cos(OPENING) * chord + np.sin(OPENING) * outward)
    back = SWELL * (-np.cos(OPENING) * chord + np.sin(OPENING) * outward)
    return Contour(np.stack([cusps, cusps + out, np.roll(cusps, -1, axis=0) + back], axis=1))
