"""The body of a caption: a box drawn by hand, its sides a little bowed, its corners soft or straight."""

import numpy as np

from lettering.bubbles.air import SIDE_SHARE
from lettering.bubbles.chance import Chance
from lettering.geometry.contour import Contour, Points

SOFT_AIRS = 0.5
"""How far from its corner a side begins to turn, in airs."""

BOW = 0.035
"""Turn of a side at its ends, radians: enough to look drawn, too little to look blown up."""

WANDER = 0.05
"""Spread of the corners about the ruled box, in airs, always outward of it."""


STRAIGHT = 0.2
"""Softness of a straight frame: its corners are turned by the pen, its sides nearly ruled."""


def frame(corners: Points, air: float, chance: Chance, softness: float = 1.0) -> Contour:
    """Return the frame round the box of `corners` (n, 2): four bowed sides and four corners."""
    bow = BOW * softness
    room = np.array([air * (1 + SIDE_SHARE), air])
    (x0, y0), (x1, y1) = corners.min(axis=0) - room, corners.max(axis=0) + room
    out = WANDER * air * np.abs(chance.spread("corners", 8)).reshape(4, 2)
    signs = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)])
    square = np.array([(x0, y0), (x1, y0), (x1, y1), (x0, y1)]) + signs * out
    side = np.roll(square, -1, axis=0) - square
    length = np.hypot(side[:, 0], side[:, 1])[:, None]
    along = side / length
    outward = np.stack([along[:, 1], -along[:, 0]], axis=1)
    cut = np.minimum(SOFT_AIRS * softness * air, 0.3 * length)
    start, end = square + along * cut, square + side - along * cut
    third = (length - 2 * cut) / 3
    leave = start + (along + outward * bow) * third
    arrive = end - (along - outward * bow) * third
    turn = cut * 0.56
    round_out = end + (along - outward * bow) * turn
    next_along, next_out = np.roll(along, -1, axis=0), np.roll(outward, -1, axis=0)
    round_in = np.roll(start, -1, axis=0) - (next_along + next_out * bow) * np.roll(turn, -1, axis=0)
    pieces = np.stack([start, leave, arrive, end, round_out, round_in], axis=1)
    return Contour(pieces.reshape(8, 3, 2))
