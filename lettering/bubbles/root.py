"""Where a tail leaves its body: on the side that faces the mouth, and where the outline runs calmly."""

import numpy as np
from numpy.typing import NDArray

from lettering.geometry.contour import Points
from lettering.geometry.hull import hull_of

Floats = NDArray[np.float64]

LEAN = 0.5
"""How far a root follows its mouth along the body: 0 all tails spring from the middle, 1 from opposite."""

PLACES = 96
"""Places along a body at which a root is tried: one or two millimetres apart."""

FOOT = 0.04
"""Half the length of outline that a root takes with its flares, in the way round the body."""

AWAY = 5.0
"""What a root costs that lies the whole way round from straight before the mouth, where one costs as many
radians as the outline turns under its foot: it leaves a corner for the side next to it."""

RISING = 12.0
"""What it costs more for what it lies above that, in the way round: tails hang down where they may."""

LEVEL = 0.2
"""A way that falls or rises by less than this, in what it goes aside, is level."""

FACING = 0.5
"""Least cosine between the way out of the body at a root and the way to the mouth …"""

ASKEW = 10.0
"""… and what a root costs for each unit of cosine below that."""

GAIN = 0.1
"""Least gain for which a root moves at all."""

SMOOTH = 0.97
"""A body that fills less of its hull has spikes or scallops."""


def roots(body: Points, target: Points) -> tuple[Points, Points]:
    """Return the roots of tails from the polygon `body` (m, 2) to `target`, (n, 2), and the way out there.

    Straight before the mouth is where the way to it leaves the body. It starts on the spine, the middle line
    of the stadium that would fit the body's box, so that the tails of a long body do not all fan out from one
    point. From there a root moves along to where its foot stands on a calm stretch.
    """
    low, high = body.min(axis=0), body.max(axis=0)
    centre, half = (low + high) / 2, (high - low) / 2
    spine = half - half.min()
    before = _leaving(body, centre + np.clip((target - centre) * LEAN, -0.7 * spine, 0.7 * spine), target)
    root = _calm(body, before, target)
    out = root - centre - np.clip(root - centre, -spine, spine)
    return root, out / np.maximum(np.hypot(*out.T), 1e-12)[:, None]


def _calm(body: Points, before: Points, target: Points) -> Points:
    """Return roots that were straight `before` their mouths, (n, 2), moved to where the outline is calm."""
    hull = hull_of(body)
    if _area(body) < SMOOTH * _area(hull):
        return before  # what has spikes or scallops is calm nowhere
    rim = _evenly(hull)
    outward, turn, length = _foot(rim)
    aside = (before[:, None] - rim) / length
    cost = AWAY * np.hypot(aside[..., 0], aside[..., 1]) + RISING * np.maximum(aside[..., 1], 0.0)
    cost += turn + ASKEW * np.maximum(FACING - _cosines(outward, target[:, None] - rim), 0.0)
    best, row = cost.argmin(axis=1), np.arange(len(before))
    stays = cost[row, _nearest(rim, before)] < cost[row, best] + GAIN
    # A way that is shorter than half a foot leaves no room to come from elsewhere; a level one meets the end.
    way = target - before
    stays |= (np.hypot(*way.T) < FOOT * length) | (np.abs(way[:, 1]) < LEVEL * np.abs(way[:, 0]))
    return np.where(stays[:, None], before, _along(rim, before, best))


def _area(corners: Points) -> float:
    """Return the area of a polygon (m, 2)."""
    x, y = corners.T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2


def _nearest(rim: Points, points: Points) -> NDArray[np.intp]:
    """Return the index of the place nearest to each point, (n,)."""
    nearest: NDArray[np.intp] = ((points[:, None] - rim) ** 2).sum(axis=2).argmin(axis=1)
    return nearest


def _evenly(hull: Points) -> Points:
    """Return `PLACES` points evenly along a hull from the middle of its top, so that mirrored hulls match."""
    closed = np.concatenate([hull, hull[:1]])
    way = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))])
    top = slice(0, int(hull[:, 0].argmax()) + 1)  # a hull begins at its left and goes over its top
    start = np.interp((hull[:, 0].min() + hull[:, 0].max()) / 2, hull[top, 0], way[top])
    at = (start + np.arange(PLACES) * (way[-1] / PLACES)) % way[-1]
    return np.stack([np.interp(at, way, closed[:, k]) for k in range(2)], axis=1)


def _foot(rim: Points) -> tuple[Points, Floats, float]:
    """Return for each place which way is out, (n, 2), how far a foot there turns, radians, and the way round.

    The hull runs from x toward y, so what lies outside is to its right on the page.
    """
    reach = max(round(FOOT * PLACES), 1)
    before, after = rim - np.roll(rim, reach, axis=0), np.roll(rim, -reach, axis=0) - rim
    whole = before + after
    out = np.stack([whole[:, 1], -whole[:, 0]], axis=1) / np.maximum(np.hypot(*whole.T), 1e-12)[:, None]
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turn = np.arctan2(cross, (before * after).sum(axis=1))
    return out, turn, float(np.hypot(*(np.roll(rim, -1, axis=0) - rim).T).sum())


def _cosines(outward: Points, way: NDArray[np.float64]) -> Floats:
    """Return the cosine between each direction (m, 2) and the ways from there, (n, m, 2)."""
    cosine: Floats = (outward * way).sum(axis=-1) / np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-9)
    return cosine


def _along(rim: Points, before: Points, best: NDArray[np.intp]) -> Points:
    """Return the points as far along the rim from `before` as the places `best` are from its nearest places.

    So a root follows its mouth without steps, but where it leaves one stretch for another.
    """
    nearest = _nearest(rim, before)
    step, ahead = np.roll(rim, -1, axis=0) - rim, rim[(nearest + 1) % PLACES] - rim[nearest - 1]
    past = ((before - rim[nearest]) * ahead).sum(axis=1) / np.maximum((ahead**2).sum(axis=1), 1e-12) * 2
    at = (best + past) % PLACES
    index = at.astype(int) % PLACES
    moved = rim[index] + (at - np.floor(at))[:, None] * step[index]
    return np.where((best == nearest)[:, None], before, moved)


def _leaving(body: Points, anchor: Points, target: Points) -> Points:
    """Return where each way from `anchor` to `target` last leaves `body`; else its nearest corner."""
    step = np.roll(body, -1, axis=0) - body
    way = (target - anchor)[:, None]
    off = body - anchor[:, None]
    det = way[..., 0] * step[:, 1] - way[..., 1] * step[:, 0]
    crossing = np.abs(det) > 1e-12
    det = np.where(crossing, det, 1.0)
    along = (off[..., 0] * step[:, 1] - off[..., 1] * step[:, 0]) / det
    across = (off[..., 0] * way[..., 1] - off[..., 1] * way[..., 0]) / det
    hit = crossing & (across >= 0) & (across <= 1) & (along > 0)
    last = np.where(hit, along, -1.0).max(axis=1)[:, None]
    nearest = body[((body - target[:, None]) ** 2).sum(axis=2).argmin(axis=1)]
    left: Points = np.where(last > 0, anchor + way[:, 0] * last, nearest)
    return left
