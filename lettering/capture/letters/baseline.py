"""The line that a row of letters stands on."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, eq=False)
class Baseline:
    """A smooth line through the feet of a row's letters."""

    x: NDArray[np.float64]
    """Where it is known, ascending, at least two places, page px."""
    y: NDArray[np.float64]
    """Its height there, page px, y down; beyond the ends it goes on straight."""

    def at(self, x: float) -> float:
        """Return y at x."""
        before = self._piece(x)
        return float(self.y[before] + self.slope(x) * (x - self.x[before]))

    def slope(self, x: float) -> float:
        """Return dy/dx at x."""
        i = self._piece(x)
        return float((self.y[i + 1] - self.y[i]) / (self.x[i + 1] - self.x[i]))

    def _piece(self, x: float) -> int:
        return min(max(int(self.x.searchsorted(x)) - 1, 0), len(self.x) - 2)


def fit_baseline(
    x: NDArray[np.float64], y: NDArray[np.float64], *, reach: float, slope: float = 0.0, least: int = 4
) -> Baseline:
    """Return the smooth line through feet at (x, y), by straight fits over `reach` px, outliers set aside.

    With fewer than `least` feet it is straight with the given slope, through their median.
    """
    if np.ptp(x) < reach or len(x) < least:
        ends = np.array([x.min(), x.min() + reach])
        return Baseline(ends, float(np.median(y - slope * x)) + slope * ends)
    knots = np.linspace(x.min(), x.max(), int(np.ptp(x) / reach * 3) + 2)
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
    """Return the height at each knot of the line fitted there, nearer feet counting for more.

    A local line may leave the row's own slope only as far as its feet insist, so that ends do not swing.
    """
    rise, level = np.polyfit(x, y, 1, w=weight)
    rest = y - (rise * x + level)
    away = x[None, :] - knots[:, None]
    w = weight * np.exp(-0.5 * (away / (reach / 2)) ** 2) + 1e-9
    s0, s1 = w.sum(1), (w * away).sum(1)
    s2 = (w * away**2).sum(1) + 0.05 * s0 * reach**2
    t0, t1 = (w * rest).sum(1), (w * away * rest).sum(1)
    heights: NDArray[np.float64] = (t0 * s2 - t1 * s1) / (s0 * s2 - s1**2) + rise * knots + level
    return heights
