"""The line that a row of letters stands on."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, eq=False)
class Baseline:
    """A smooth line through the feet of a row's letters."""

    x: NDArray[np.float64]
    """Where it is known, ascending, page px."""
    y: NDArray[np.float64]
    """Its height there, page px, y down; beyond the ends it goes on straight."""

    def at(self, x: float) -> float:
        """Return y at x."""
        inside = float(np.clip(x, self.x[0], self.x[-1]))
        return float(np.interp(inside, self.x, self.y)) + self.slope(x) * (x - inside)

    def slope(self, x: float) -> float:
        """Return dy/dx at x."""
        if len(self.x) < 2:
            return 0.0
        after = int(np.clip(np.searchsorted(self.x, x), 1, len(self.x) - 1))
        return float((self.y[after] - self.y[after - 1]) / (self.x[after] - self.x[after - 1]))


def fit_baseline(
    x: NDArray[np.float64], y: NDArray[np.float64], *, reach: float, slope: float = 0.0, least: int = 4
) -> Baseline:
    """Return the smooth line through feet at (x, y), by straight fits over `reach` px, outliers set aside.

    With fewer than `least` feet it is straight with the given slope, through their median.
    """
    knots = np.linspace(x.min(), x.max(), max(2, int(np.ptp(x) / reach * 3) + 2))
    if np.ptp(x) < reach / 4 or len(x) < least:
        knots = np.array([x.min(), x.min() + reach])
        return Baseline(knots, float(np.median(y - slope * x)) + slope * knots)
    weight = np.ones(len(x))
    for _ in range(4):
        line = Baseline(knots, _local_lines(x, y, weight, knots, reach))
        off = np.abs(y - np.array([line.at(value) for value in x]))
        usual = max(1.4826 * float(np.median(off)), 0.3)
        weight = np.maximum(1 - (off / (4 * usual)) ** 2, 0) ** 2 + 1e-6
    return line


def _local_lines(
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    weight: NDArray[np.float64],
    knots: NDArray[np.float64],
    reach: float,
) -> NDArray[np.float64]:
    """Return the height at each knot of the line fitted there, nearer feet counting for more."""
    away = x[None, :] - knots[:, None]
    w = weight * np.exp(-0.5 * (away / reach) ** 2) + 1e-9
    s0, s1, s2 = w.sum(1), (w * away).sum(1), (w * away**2).sum(1)
    t0, t1 = (w * y).sum(1), (w * away * y).sum(1)
    # A little of the level fit keeps lonely ends from swinging.
    s2 = s2 + 1e-3 * s0 * reach**2
    heights: NDArray[np.float64] = (t0 * s2 - t1 * s1) / (s0 * s2 - s1**2)
    return heights
