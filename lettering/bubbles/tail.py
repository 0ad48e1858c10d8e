"""The tail of a bubble: it springs from the body, bends once, thins to the pen and points into the mouth."""

import numpy as np

from lettering.book.line import Voice
from lettering.bubbles.axis import SHARE, Axis, axis_to, tail_axis
from lettering.bubbles.bubble import Tail
from lettering.bubbles.trail import trail
from lettering.geometry.contour import Contour, Points
from lettering.geometry.hull import hull_of
from lettering.geometry.point import Point
from lettering.geometry.rect import Rect
from lettering.geometry.walk import Walk

WAIST = 0.45
"""Width of a drawn-out spike half way to its tip, in the width of its foot."""

OVER = 0.25
"""How far past its axis a drawn-out spike is pulled, in what its foot stands beside it."""

STEADY = 0.82
"""How far back from its tip a drawn-out spike holds its aim, in the way to its bend."""

POLYGON_MM = 0.05
"""How closely a body's polygon follows it where roots are looked for, mm."""

ROOT_X_HEIGHTS = (1.0, 1.5)
"""Width of the root in x-heights (common practice), from the smallest bodies to the largest."""

FLARE = 0.5
"""How far, in root widths, the outline swings out along the body on either side of the root."""

TAPER = 0.95
"""How a tail thins from 1 at the root: 1 is straight-sided, less is fuller."""

TIP_LINES = 0.5
"""Width of the outline at its tip in lines: with the line drawn along both sides, one and a half pens."""


def tail(
    body: Contour,
    *,
    target: Point,
    face: Rect | None = None,
    share: float = SHARE,
    x_height_mm: float,
    line_mm: float,
    tip: Point | None = None,
    voice: Voice = "plain",
) -> Tail:
    """Return the tail from `body` toward the mouth at `target`, mm.

    It goes `share` of the way, or as far as `face` lets it, or to `tip` when that is given. Its outline
    starts where it leaves the body, goes out to the tip and back, and closes inside the body. A thought
    has a trail of puffs instead.
    """
    polygon, mouth = body.flattened(POLYGON_MM), np.array([[target.x, target.y]])
    if voice == "thought":
        # A trail begins beyond the scallops, not between two of them.
        polygon = hull_of(polygon)
    if tip is None:
        axis = tail_axis(polygon, mouth, face=face, share=share, x_height_mm=x_height_mm)
    else:
        axis = axis_to(polygon, mouth, np.array([[tip.x, tip.y]]))
    if voice == "thought":
        return trail(axis, x_height_mm)
    walk = Walk.along(body)
    feet = _hollows(walk, axis) if voice == "shout" else None
    outline = _drawn_out(walk, axis, feet, line_mm) if feet else _flared(walk, axis, x_height_mm, line_mm)
    return Tail(outline=outline, root=_point(axis.root[0]), tip=_point(axis.tip[0]))


def _flared(walk: Walk, axis: Axis, x_height: float, line: float) -> Contour:
    """Return a tail that swings out of the body on both sides, each side a flare and an edge."""
    least, most = ROOT_X_HEIGHTS
    width = x_height * min(max(0.95 * least + walk.length / (90 * x_height), least), most)
    length = float(np.hypot(*(axis.tip - axis.root)[0]))
    flare = FLARE * min(width, length)
    middle = walk.way(walk.nearest(_point(axis.root[0])))
    a, b = (walk.place(middle + side * (width / 2 + flare)) for side in (-1, 1))
    start = min(0.35, 0.9 * flare / max(length, 1e-9))
    out, home = (_edge(axis, side, start, width, line) for side in (-1.0, 1.0))
    swing, return_ = _flare(*_foot(walk, a), out), _flare(*_foot(walk, b, -1), home)
    return _closed(walk, a, b, [swing, out, _cap(out, home), home[::-1], return_[::-1]])


def _hollows(walk: Walk, axis: Axis) -> tuple[float, float]:
    """Return the places of the hollows on both sides of the spike nearest to the root."""
    spikes = walk.contour.knots[:, 0]
    nearest = int(((spikes - axis.root[0]) ** 2).sum(axis=1).argmin())
    return nearest - 0.5, nearest + 0.5


def _drawn_out(walk: Walk, axis: Axis, feet: tuple[float, float], line: float) -> Contour:
    """Return a tail that is one spike of a burst drawn out from hollow to hollow."""
    starts = [_foot(walk, place, turn) for place, turn in zip(feet, (1, -1), strict=True)]
    aim = axis.tip[0] - axis.elbow[0]
    foot = float(np.hypot(*(starts[1][0] - starts[0][0])))
    aside = np.array([-aim[1], aim[0]]) / np.hypot(*aim)
    across = aside * foot / 2 * WAIST
    # A spike beside the axis is pulled over it a little, or its point would still come from where it stands.
    over = aside * (((starts[0][0] + starts[1][0]) / 2 - axis.elbow[0]) @ aside) * OVER
    sides = []
    for side, (start, along) in zip((-1, 1), starts, strict=True):
        end = _edge(axis, side, 0.5, 0.0, line)[3]
        reach = np.hypot(*(end - start))
        # Both far handles stand off the axis alike, so that the point aims where the axis does.
        waist = axis.elbow[0] + side * across - over
        sides.append(
            np.array(
                [start, start + along * min(reach * 0.12, foot * 0.35), end + (waist - end) * STEADY, end]
            )
        )
    out, home = sides
    return _closed(walk, *feet, [out, _cap(out, home), home[::-1]])


def _edge(axis: Axis, side: float, start: float, width: float, line: float) -> Points:
    """Return one edge of the tail, shape (4, 2), from `start` of the axis to beside the tip.

    `side` is -1 for the edge that the walk round the body meets first, 1 for the other.
    """
    root, elbow, tip = axis.root[0], axis.elbow[0], axis.tip[0]

    def at(t: float) -> Points:
        s = 1 - t
        along = s * (elbow - root) + t * (tip - elbow)
        along = along / max(float(np.hypot(*along)), 1e-12)
        half = (width * s**TAPER + TIP_LINES * line * t) / 2
        middle = s * s * root + 2 * s * t * elbow + t * t * tip
        return np.asarray(middle + side * half * np.array([-along[1], along[0]]))

    last = 1 - TIP_LINES * line / 2 / max(2 * float(np.hypot(*(tip - elbow))), TIP_LINES * line)
    last = max(last, start + 0.1)
    d = 1e-4
    p, q = at(start), at(last)
    reach = (last - start) / 3 / d
    return np.array([p, p + (at(start + d) - p) * reach, q - (q - at(last - d)) * reach, q])


def _foot(walk: Walk, place: float, turn: int = 1) -> tuple[Points, Points]:
    """Return the point of the body at `place` and the unit tangent there, turned back when `turn` is -1."""
    point, along = walk.point(place), walk.tangent(place)
    return np.array([point.x, point.y]), np.array([along.x, along.y]) * turn


def _flare(start: Points, along: Points, edge: Points) -> Points:
    """Return the curve, shape (4, 2), that leaves the body along its tangent and runs into an edge."""
    end, into = edge[0], edge[0] - edge[1]
    into = into / np.hypot(*into)
    gap = end - start
    span = float(np.hypot(*gap))
    turn = along[1] * into[0] - along[0] * into[1]
    if abs(turn) < 0.15:
        out = back = span / 2
    else:
        # Where both tangents cross: the corner that the flare rounds.
        out = min(max((gap[1] * into[0] - gap[0] * into[1]) / turn, 0.2 * span), span)
        back = min(max((along[0] * gap[1] - along[1] * gap[0]) / turn, 0.2 * span), span)
    return np.array([start, start + along * out * 0.62, end + into * back * 0.62, end])


def _cap(out: Points, home: Points) -> Points:
    """Return the rounded tip from the end of one edge to the end of the other."""
    u, v = out[3] - out[2], home[3] - home[2]
    round_ = float(np.hypot(*(home[3] - out[3]))) * 2 / 3
    return np.array(
        [out[3], out[3] + u / np.hypot(*u) * round_, home[3] + v / np.hypot(*v) * round_, home[3]]
    )


def _closed(walk: Walk, a: float, b: float, open_: list[Points]) -> Contour:
    """Return the tail's pieces from the body at `a` to the body at `b`, closed a little inside the body."""
    start, end = _foot(walk, a)[0], _foot(walk, b)[0]
    chord = start - end
    inward = np.array([chord[1], -chord[0]]) * 0.25
    closing = np.array([end, end + chord * 0.25 + inward, start - chord * 0.25 + inward, start])
    return Contour(np.array([*open_, closing])[:, :3])


def _point(xy: Points) -> Point:
    return Point(float(xy[0]), float(xy[1]))
