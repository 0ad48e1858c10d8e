"""Places round an outline, evenly spaced but for a hand's unevenness."""

import numpy as np
from numpy.typing import NDArray

from lettering.bubbles.chance import Chance
from lettering.geometry.walk import Walk


def spaced(
    walk: Walk, count: int, uneven: float, chance: Chance, *, turn_mm: float = 0.0
) -> NDArray[np.float64]:
    """Return `count` rising distances along the walk round an outline, steps spread by `uneven`.

    They are told from where the outline lies farthest right: where its first piece starts is no matter. Each
    radian that the outline turns counts as `turn_mm` more of it, so that bends get more of the places.
    """
    right = int(np.argmax(walk.points[:-1, 0]))
    chords = np.roll(np.diff(walk.points, axis=0), -right, axis=0)
    length = np.hypot(chords[:, 0], chords[:, 1])
    heading = np.unwrap(np.arctan2(chords[:, 1], chords[:, 0]))
    turned = np.abs(np.diff(heading, append=heading[0] + 2 * np.pi))
    run, felt = (np.concatenate([[0.0], np.cumsum(step)]) for step in (length, length + turn_mm * turned))
    steps = 1 + uneven * chance.spread("steps", count)
    start = 0.25 * float(chance.spread("start", 1)[0])
    shares = np.cumsum(steps) / steps.sum() + start / count
    ways = np.interp(shares % 1 * felt[-1], felt, run) + shares // 1 * run[-1]
    return np.asarray(ways + walk.ways[right])
