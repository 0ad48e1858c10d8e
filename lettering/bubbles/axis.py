"""Where a tail runs: from its root on the body, round one bend, to its tip before the mouth."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.bubbles.root import roots
from lettering.geometry.contour import Points
from lettering.geometry.rect import Rect

Floats = NDArray[np.float64]

SHARE = 0.6
"""How much of the way from body to mouth a tail goes (common practice: 50-70 %)."""

LONG_X_HEIGHTS, LONG_LEFT = (8.0, 20.0), 1.2
"""Between these ways from body to mouth, in x-heights, what a tail leaves of the way grows by this factor: a
long tail points well enough, and need not be longer still."""

BEND = math.radians(13.0)
"""Least turn between a tail's start and its straight way to the mouth: a straight tail looks ruled."""

MOST_BEND = math.radians(38.0)
"""Most of that turn: beyond it a tail wraps round."""

STRAIGHT = 1e-3
"""Turn below which a tail goes straight on, radians."""

FACE_X_HEIGHTS = 0.5
"""Clear distance a tail keeps from the face, in x-heights (house default)."""

SHORTEST_X_HEIGHTS = 1.0
"""A tail shorter than this is not seen; where the mouth is near, it goes further than its share."""

STUB_X_HEIGHTS = 0.3
"""The shortest tail there is, where a face leaves no room for more."""


@dataclass(frozen=True, slots=True, eq=False)
class Axis:
    """The middle lines of one or many tails: arrays of shape (n, 2), mm."""

    root: Points
    """Where it leaves the body."""
    elbow: Points
    """Where its first and last directions cross: the handle of the bend."""
    tip: Points
    """Where it ends; from the elbow to here it aims at the mouth."""


def tail_axis(
    body: Points, target: Points, *, face: Rect | None = None, share: float = SHARE, x_height_mm: float
) -> Axis:
    """Return the axes of tails from the polygon `body` (m, 2) to each mouth of `target` (n, 2), mm.

    A tail goes `share` of the way from root to mouth, less of a long way, unless that is too short to be
    seen, and stops short of `face`. `tail` draws along exactly these.
    """
    root, outward = roots(body, target)
    straight, distance = unit(target - root)
    rest = (1 - share) * np.interp(distance / x_height_mm, LONG_X_HEIGHTS, (1.0, LONG_LEFT))
    left = np.minimum(rest * distance, np.maximum(distance - SHORTEST_X_HEIGHTS * x_height_mm, 0))
    barred = face.inset(-FACE_X_HEIGHTS * x_height_mm) if face else None
    reach = np.minimum(distance - left, _entry(root, straight, barred))
    reach = np.maximum(reach, STUB_X_HEIGHTS * x_height_mm)
    elbow = root + _turned(straight, _bend(straight, outward)) * (reach / 2)[:, None]
    aim, way = unit(target - elbow)
    onward = np.minimum(np.maximum(way - left, reach / 2), _entry(elbow, aim, barred))
    onward = np.maximum(onward, STUB_X_HEIGHTS * x_height_mm / 2)
    return _axis(body, (root, outward), target, elbow + aim * onward[:, None])


def axis_to(body: Points, target: Points, tip: Points) -> Axis:
    """Return the axes of tails that end at given tips (n, 2), mm, still aiming at their mouths."""
    return _axis(body, roots(body, target), target, tip)


def _axis(body: Points, rooted: tuple[Points, Points], target: Points, tip: Points) -> Axis:
    """Return the axes from given roots, each with the way out of the body there."""
    root, outward = rooted
    # A tip that was drawn round to another side of the body takes its root along.
    astray = ((tip - root) * outward).sum(axis=1) < 0.35 * np.hypot(*(tip - root).T)
    if astray.any():
        root = np.where(astray[:, None], roots(body, tip)[0], root)
    aim, rest = unit(target - tip)
    chord, length = unit(tip - root)
    # A mouth behind the tip, or right under it, gives no direction: the tail then goes straight on.
    sensible = ((aim * chord).sum(axis=1) > 0.3) & (rest > 1e-6)
    aim = np.where(sensible[:, None], aim, chord)
    return Axis(root, tip - aim * (length / 2)[:, None], tip)


def _bend(straight: Points, outward: Points) -> Floats:
    """Return the signed turn of each tail's start from its straight way, toward the outward normal."""
    cross = straight[:, 0] * outward[:, 1] - straight[:, 1] * outward[:, 0]
    turn = np.arctan2(cross, (straight * outward).sum(axis=1))
    # Where a tail goes straight on it bends upward, on a left page as on a right one.
    level = np.where(straight[:, 0] > 0, -1.0, 1.0)
    side = np.where(np.abs(turn) > STRAIGHT, np.sign(turn), level)
    bend: Floats = side * np.clip(np.abs(turn) * 0.6, BEND, MOST_BEND)
    return bend


def _entry(start: Points, direction: Points, rect: Rect | None) -> Floats:
    """Return how far along `direction` each ray enters `rect`; infinite when it does not."""
    if rect is None:
        return np.full(len(start), np.inf)
    safe = np.where(np.abs(direction) < 1e-12, 1e-12, direction)
    one, two = (np.array([rect.x0, rect.y0]) - start) / safe, (np.array([rect.x1, rect.y1]) - start) / safe
    enter, leave = np.minimum(one, two).max(axis=1), np.maximum(one, two).min(axis=1)
    entered: Floats = np.where((enter <= leave) & (leave >= 0), np.maximum(enter, 0.0), np.inf)
    return entered


def unit(vectors: Points) -> tuple[Points, Floats]:
    """Return vectors (n, 2) of length 1, and their lengths (n,); none stays none."""
    length = np.hypot(vectors[:, 0], vectors[:, 1])
    return vectors / np.maximum(length, 1e-12)[:, None], length


def _turned(vectors: Points, angle: Floats) -> Points:
    c, s = np.cos(angle), np.sin(angle)
    x, y = vectors[:, 0], vectors[:, 1]
    turned: Points = np.stack([c * x - s * y, s * x + c * y], axis=1)
    return turned
