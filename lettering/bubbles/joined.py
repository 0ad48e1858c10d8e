"""Two bubbles that belong together: joined by a neck, or one lying against the other."""

from collections.abc import Sequence

import numpy as np

from lettering.bubbles.bubble import Tail
from lettering.geometry.contour import Contour, Points
from lettering.geometry.fit import fit_closed
from lettering.geometry.point import Vector
from lettering.geometry.region import Region
from lettering.geometry.walk import Walk

NECK_X_HEIGHTS = 0.9
"""Length of a neck between two bodies, in x-heights (house default): short, so that both are seen as one."""

WAIST_X_HEIGHTS = 1.5
"""Width of a neck at its waist, in x-heights: that of a large tail's root."""

FLARE = 0.46
"""Radius of the round corners between neck and bodies, in lengths of the neck: less than a half."""

LAP_X_HEIGHTS = 0.35
"""How deep a reply lies over the bubble before, in x-heights: plainly on purpose, and clear of its words."""

FLATNESS_MM = 0.01
"""How closely outlines are followed while they are joined, mm."""

FINE_STEPS = 64
"""Points to each piece of an outline that is fitted anew."""


def beside(first: Contour, second: Contour, way: Vector, *, gap_mm: float) -> Vector:
    """Return the step along `way` after which `second` lies `gap_mm` from `first`, or laps over it by -gap.

    `way` leads from `first` to `second`.
    """
    fixed, loose = (Region.polygon(body.flattened(FLATNESS_MM)) for body in (first, second))
    unit = way.unit()
    reach = first.bounds.width + first.bounds.height + second.bounds.width + second.bounds.height
    away = first.bounds.centre - second.bounds.centre
    near, far = 0.0, reach + abs(gap_mm)
    while far - near > FLATNESS_MM / 2:
        middle = (near + far) / 2
        clear = fixed.distance(loose.moved(away + unit * middle))
        near, far = (near, middle) if clear > max(gap_mm, 0.0) else (middle, far)
    return away + unit * (far + min(gap_mm, 0.0))


def necked(bodies: Sequence[Contour], tails: Sequence[Tail], *, x_height_mm: float) -> Contour:
    """Return two bodies, the neck between them and their tails as one outline.

    The neck runs where the bodies are nearest, and flares into both with the same round corner, so that the
    outline turns smoothly there.
    """
    first, second = (_area(body) for body in bodies)
    # A corner that rounds more than half the gap would close the gap along all of its length.
    corner = FLARE * first.distance(second)
    strip = _strip(first, second, x_height_mm)
    apart = Region.union([first, second, strip])
    rounded = apart.buffered(corner).buffered(-corner).intersection(strip.buffered(2 * corner))
    return fit_closed(Region.union([apart, rounded, *(_area(tail.outline) for tail in tails)]).exterior())


def _area(outline: Contour) -> Region:
    return Region.polygon(_dense(outline))


def _dense(outline: Contour) -> Points:
    return Walk.along(outline, FINE_STEPS).points[:-1]


def _strip(first: Region, second: Region, x_height: float) -> Region:
    """Return the neck without its flares: a strip from well inside the one body to well inside the other."""
    a, b = first.nearest(second)
    along = (b - a).unit()
    a, b = a + along * -x_height, b + along * x_height
    half = Vector(-along.y, along.x) * (WAIST_X_HEIGHTS * x_height / 2)
    corners = (a + half, b + half, b + -half, a + -half)
    return Region.polygon(np.array([(corner.x, corner.y) for corner in corners]))
