"""The body of a shout: a burst of spikes with hollow sides, standing round a calm outline."""

import numpy as np
from numpy.typing import NDArray

from lettering.bubbles.chance import Chance
from lettering.bubbles.ring import spaced
from lettering.geometry.contour import Contour, Points
from lettering.geometry.walk import Walk

SPIKE_AIRS = 2.4
"""Distance between spikes in airs on the smallest body; it grows with the perimeter."""

GROWTH = 1 / 45
"""How much of the perimeter is added to the distance between spikes."""

FEWEST = 9
"""Spikes of the smallest burst."""

HEIGHT = 1.15
"""Height of the usual spike over the core, in airs."""

VARIED = 0.3
"""Spread of the spikes' heights about the usual one."""

UNEVEN = 0.16
"""Spread of the distances between spikes about their mean."""

TURN_AIRS = 2.5
"""What a radian of the core's turning counts for in airs of its length: round its ends, where spikes fan out,
a hollow as long as elsewhere would be cut off straight."""

LEAST_POINT = np.radians(20.0)
"""Least angle of a spike's point: a needle fills up with the lines along its sides, and they might cross."""

LOWER, MOST_LOWERED = 0.9, 60
"""What a slimmer spike is lowered to, in heights, until it is blunt enough; a dozen times do."""

TALLER = 3.0
"""How many times as tall as its neighbours a spike is at most, once one is lowered: beside a tall one even a
low one would be slim."""

HOLLOW = 0.2
"""How wide a hollow's floor is between two spikes, in the distance between them."""


def burst(core: Contour, air: float, chance: Chance) -> Contour:
    """Return a burst whose hollows touch `core`, one cubic piece from each spike to the next.

    The core nowhere turns with a radius below the air, as no body does.
    """
    walk = Walk.along(core)
    apart = SPIKE_AIRS * air + GROWTH * walk.length
    turn = TURN_AIRS * air
    count = max(FEWEST, round((walk.length + 2 * np.pi * turn) / apart))
    ways = spaced(walk, count, UNEVEN, chance, turn_mm=turn)
    between = (ways + np.append(ways[1:], ways[0] + walk.length)) / 2
    heights = HEIGHT * air * (1 + VARIED * chance.spread("heights", count))
    foot, _, outward = _stations(walk, ways)
    floor, along, _ = _stations(walk, between)
    for _ in range(MOST_LOWERED):
        pieces = _hollows(foot + outward * heights[:, None], floor, along)
        slim = _opening(pieces) < LEAST_POINT
        if not slim.any():
            return Contour(pieces)
        heights = np.where(slim, heights * LOWER, heights)
        lower = np.minimum(np.roll(heights, 1), np.roll(heights, -1))
        heights = np.minimum(heights, TALLER * lower)
    raise AssertionError("round a core that turns no harder than a body does, low spikes are blunt")


def _hollows(spikes: Points, floor: Points, along: Points) -> NDArray[np.float64]:
    """Return the knots, shape (n, 3, 2), of pieces from spike to spike that touch the floor between."""
    following = np.roll(spikes, -1, axis=0)
    # The middle of a cubic is an eighth of its ends and three eighths of its handles: solved for the handles.
    handle = (8 * floor - spikes - following) / 6
    reach = along * (HOLLOW * np.linalg.norm(following - spikes, axis=1))[:, None]
    return np.stack([spikes, handle - reach, handle + reach], axis=1)


def _opening(pieces: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the angle at which the sides of each spike part at its point, radians; negative if crossed."""
    leaving = pieces[:, 1] - pieces[:, 0]
    arriving = np.roll(pieces[:, 2], 1, axis=0) - pieces[:, 0]
    cross = leaving[:, 0] * arriving[:, 1] - leaving[:, 1] * arriving[:, 0]
    opening: NDArray[np.float64] = np.arctan2(cross, (leaving * arriving).sum(axis=1))
    return opening


def _stations(walk: Walk, ways: NDArray[np.float64]) -> tuple[Points, Points, Points]:
    """Return points, unit tangents and unit outward normals, shape (n, 2) each, at distances `ways`."""
    places = [walk.place(float(way)) for way in ways]
    points = np.array([(p.x, p.y) for p in map(walk.point, places)])
    along = np.array([(v.x, v.y) for v in map(walk.tangent, places)])
    return points, along, np.stack([along[:, 1], -along[:, 0]], axis=1)
