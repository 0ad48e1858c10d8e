"""Bubbles that belong together: joined by a neck, or one lying against the other."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from lettering.bubbles.bubble import Tail
from lettering.bubbles.join import tailed, united
from lettering.geometry.contour import Contour
from lettering.geometry.point import Point, Vector
from lettering.geometry.region import Region, is_simple
from lettering.geometry.walk import Walk

Floats = NDArray[np.float64]

NECK_X_HEIGHTS = 0.7
"""Length of a neck between two bodies, in x-heights (house default): short, so that both are seen as one."""

WAIST_X_HEIGHTS = 2.4
"""Width of a neck at its waist, in x-heights: about its length thrice, so that two bubbles read as one."""

FLARE_X_HEIGHTS = 1.1
"""How far a neck's side swings out along the body on its way from the waist, in x-heights."""

MOST_OF_BODY = 0.17
"""Share of the way round a body that half a neck's foot takes at most."""

LAP_X_HEIGHTS = 0.35
"""How deep a reply lies over the bubble before, in x-heights: plainly on purpose, and clear of its words."""

FLATNESS_MM = 0.01
"""How closely outlines are followed while they are joined, mm."""


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
    """Return bodies, a neck from each to the next, and their tails as one outline.

    A neck runs where two bodies are nearest. Its sides leave both bodies along their own lines and swing in
    to the waist, so that the outline turns smoothly there. A tail belongs to the body that it springs from.
    """
    areas = [Region.polygon(body.flattened(FLATNESS_MM)) for body in bodies]
    rooted: list[list[Tail]] = [[] for _ in bodies]
    for tail in tails:
        rooted[min(range(len(areas)), key=lambda i: areas[i].distance_to(tail.root))].append(tail)
    outlines = [tailed(body, own) for body, own in zip(bodies, rooted, strict=True)]
    whole = outlines[0]
    for (first, second), outline in zip(pairwise(areas), outlines[1:], strict=True):
        a, b = first.nearest(second)
        parts = _sides((whole, a), (outline, b), x_height_mm)
        joined = Contour(np.concatenate(parts)[:, :3])
        if is_simple(joined.flattened()):
            whole = joined
        else:
            # Where a tail springs from the very place, or a body is smaller than the neck's foot.
            whole = united([whole, outline, _strip(a, b, x_height_mm)])
    return whole


def _sides(first: tuple[Contour, Point], second: tuple[Contour, Point], x_height: float) -> list[Floats]:
    """Return the pieces of two outlines joined by a neck between a point of each: out, over, round, back."""
    reach = (WAIST_X_HEIGHTS / 2 + FLARE_X_HEIGHTS) * x_height
    walks = [Walk.along(outline) for outline, _ in (first, second)]
    middles = [walk.way(walk.nearest(at)) for walk, (_, at) in zip(walks, (first, second), strict=True)]
    feet = [
        [walk.place(middle + way * min(reach, MOST_OF_BODY * walk.length)) for way in (-1, 1)]
        for walk, middle in zip(walks, middles, strict=True)
    ]
    (one, other), ((out, home), (round_, start)) = walks, feet
    return [
        _side((one, out), (other, start), x_height)[None],
        other.between(start, round_),
        _side((other, round_), (one, home), x_height)[None],
        one.between(home, out),
    ]


def _side(start: tuple[Walk, float], end: tuple[Walk, float], x_height: float) -> Floats:
    """Return one side of a neck, shape (4, 2), which leaves and meets the bodies along their own lines."""
    (p, u), (q, v) = ((walk.point(place), walk.tangent(place)) for walk, place in (start, end))
    # The middle of a cubic lies three quarters of its handles in from its ends.
    swing = 4 / 3 * FLARE_X_HEIGHTS * x_height
    corners = (p, p + u * swing, q + v * -swing, q)
    return np.array([(corner.x, corner.y) for corner in corners])


def _strip(a: Point, b: Point, x_height: float) -> Contour:
    """Return a plain neck: a strip from well inside the one body to well inside the other."""
    along = (b - a).unit()
    a, b = a + along * -x_height, b + along * x_height
    half = Vector(-along.y, along.x) * (WAIST_X_HEIGHTS * x_height / 2)
    corners = (a + half, b + half, b + -half, a + -half)
    return Contour.polygon(np.array([(corner.x, corner.y) for corner in corners]))
