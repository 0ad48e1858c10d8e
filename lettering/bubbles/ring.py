"""Places round an outline, evenly spaced but for a hand's unevenness."""

import numpy as np
from numpy.typing import NDArray

from lettering.bubbles.chance import Chance
from lettering.geometry.walk import Walk


def spaced(walk: Walk, count: int, uneven: float, chance: Chance) -> NDArray[np.float64]:
    """Return `count` rising distances along the walk round an outline, steps spread by `uneven`.

    They are told from where the outline lies farthest right: where its first piece starts is no matter.
    """
    steps = 1 + uneven * chance.spread("steps", count)
    start = 0.25 * float(chance.spread("start", 1)[0])
    right = walk.ways[int(np.argmax(walk.points[:, 0]))]
    ways: NDArray[np.float64] = (np.cumsum(steps) / steps.sum() + start / count) * walk.length + right
    return ways
