"""The broken line of a whisper: even dashes that end well where the line ends."""

import numpy as np

from lettering.geometry.contour import Contour
from lettering.geometry.point import Point
from lettering.geometry.walk import Walk

DASH_LINES, GAP_LINES = 5.0, 3.5
"""Length of a dash and of the gap after it, in widths of the line (house default)."""


def dashes(length: float, line: float) -> tuple[float, float]:
    """Return dash and gap, mm, of which a whole number makes up `length`."""
    pair = (DASH_LINES + GAP_LINES) * line
    even = length / max(1, round(length / pair))
    dash = even * DASH_LINES / (DASH_LINES + GAP_LINES)
    return dash, even - dash


def begun_at(outline: Contour, point: Point | None, before: float) -> Contour:
    """Return the outline begun `before` mm short of `point`, so that its first dash lies over it."""
    if point is None:
        return outline
    walk = Walk.along(outline)
    start = walk.place(walk.way(walk.nearest(point)) - before)
    return Contour(np.ascontiguousarray(walk.between(start, start)[:, :3]))
