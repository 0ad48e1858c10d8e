"""The life of a baseline: how a row written by hand swings, slowly and only as far as hers does."""

from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from lettering.hand.hand import Hand

Floats = NDArray[np.float64]

WAVES = (12.0, 19.0, 31.0)
"""Lengths of the swings, x-heights: from a long word to a row. Shorter ones would read as a tremble."""
MOST_DRIFT = 0.03
"""Greatest standard deviation of the swing, x-heights: beyond it, children's readers call a row crooked."""
FEWEST_TAKES = 3
"""Takes of one character from which on their heights tell how far they stray."""


def own_drift(hand: Hand) -> float:
    """Return the standard deviation, font units, of the drift that the takes of a hand do not carry.

    A take stands as high or as low on its row as she drew it, so only what her rows stray beyond that is
    left for the swing; a hand of one take a character leaves all of it.
    """
    feet = [
        np.array([min(c.knots[:, 0, 1].min() for c in take.outline.contours) for take in takes])
        for takes in hand.takes.values()
        if len(takes) >= FEWEST_TAKES
    ]
    if not feet:
        return hand.metrics.baseline_drift
    carried = float(np.median([foot.var(ddof=1) for foot in feet]))
    return float(max(hand.metrics.baseline_drift**2 - carried, 0.0) ** 0.5)


class Swing:
    """A smooth departure from the baseline, the same for the same words; all in x-heights and radians."""

    def __init__(self, words: str, drift: float) -> None:
        """Swing with standard deviation `drift`, x-heights, at phases that the words decide."""
        rng = np.random.default_rng(crc32(words.encode()))
        self._phases = rng.uniform(0, 2 * np.pi, len(WAVES))
        self._height = min(drift, MOST_DRIFT) * (2 / len(WAVES)) ** 0.5
        self._turns = 2 * np.pi / np.array(WAVES)

    def rise(self, x: Floats) -> Floats:
        """Return how far the baseline stands above its middle, shape (n,), at places `x` along the row."""
        waves = np.sin(np.multiply.outer(x, self._turns) + self._phases)
        rise: Floats = self._height * waves.sum(axis=-1)
        return rise

    def slope(self, x: Floats) -> Floats:
        """Return how steeply it rises there: the letters lean along with it."""
        waves = np.cos(np.multiply.outer(x, self._turns) + self._phases) * self._turns
        slope: Floats = self._height * waves.sum(axis=-1)
        return slope

    @property
    def unevenness(self) -> float:
        """How far the ink of two neighbours may come closer because they swing apart, x-heights.

        They move and lean as one along the slope; what is left is the bend of the baseline over about one
        x-height: half of it in height, all of it in lean.
        """
        return float(1.5 * self._height * (self._turns**2).sum())
