"""Places round an outline, evenly spaced but for a hand's unevenness."""

import numpy as np
from numpy.typing import NDArray

from lettering.bubbles.chance import Chance


def spaced(length: float, count: int, uneven: float, chance: Chance) -> NDArray[np.float64]:
    """Return `count` rising distances from the start of a way of `length`, steps spread by `uneven`."""
    steps = 1 + uneven * chance.spread("steps", count)
    start = 0.25 * float(chance.spread("start", 1)[0])
    ways: NDArray[np.float64] = (np.cumsum(steps) / steps.sum() + start / count) * length
    return ways
