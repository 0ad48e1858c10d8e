"""Heavier letters: outlines moved outward, as a pen pressed harder draws them."""

import numpy as np

from lettering.geometry.contour import Contour
from lettering.geometry.heavier import heavier

PRESSED = 0.6
"""How much heavier flat strokes grow than upright ones: a pen that is pressed spreads on the way down, where
the hand is strongest. House default."""


def pressed(contour: Contour, by: float) -> Contour:
    """Return an outline made heavier by `by` on both sides of an upright stroke and by less of a flat one.

    It is the outline offset by an upright-lying ellipse: stretched so that the ellipse is a circle, offset
    by that, and let go.
    """
    if by == 0:
        return contour
    stretch = np.array([1.0, 1 / PRESSED])
    return Contour(heavier(Contour(contour.knots * stretch), by).knots / stretch)
