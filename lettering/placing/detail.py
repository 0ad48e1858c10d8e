"""How much detail the art has in each place: lettering is happier where little happens."""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, gaussian_gradient_magnitude

Map = NDArray[np.float64]

CELL_MM = 2.0
"""Side of one cell of the map: finer than any bubble, coarser than the art's grain."""
GRAIN_MM = 0.4
"""Texture finer than this is paper and brush, not drawing; a twentieth of a figure's face."""
FINEST = 2.0
"""Pixels a mm that are looked at: enough to see the grain, and finer art costs time only."""
BUBBLE_MM = 6.0
"""Reach over which detail disturbs: about a third of a small bubble's height."""
BUSY = 0.12
"""Detail, as change of lightness (0..1) across the grain, at which a place is as busy as it can be."""


def detail_of(art: NDArray[np.uint8], width_mm: float, height_mm: float) -> Map:
    """Return how much detail the art has, shape (rows, columns), 0 quiet to 1 busy.

    `art` is sRGB, shape (rows, columns, 3), and covers `width_mm` by `height_mm`. Cell (i, j) of the result
    covers about 2 mm by 2 mm. Detail is the energy of lightness edges (their root mean square) within the
    reach of a bubble's surroundings; flat washes and soft gradients are quiet, outlines and hatching busy.
    """
    art = _coarser(art, max(1, round(len(art) / height_mm / FINEST)))
    rows, columns = art.shape[:2]
    grain = [max(GRAIN_MM * n / mm, 0.5) for n, mm in ((rows, height_mm), (columns, width_mm))]
    edges = gaussian_gradient_magnitude(_lightness(art), grain, mode="nearest") * np.mean(grain)
    cells = (min(rows, round(height_mm / CELL_MM)), min(columns, round(width_mm / CELL_MM)))
    energy = _averaged(edges**2, (max(cells[0], 1), max(cells[1], 1)))
    spread = gaussian_filter(energy, BUBBLE_MM / 2 / CELL_MM, mode="nearest", truncate=3.0)
    # Flat art can come out a hair below 0.
    detail: Map = np.clip(np.sqrt(spread.clip(0.0)) / BUSY, 0.0, 1.0)
    return detail


def _coarser(art: NDArray[np.uint8], by: int) -> NDArray[np.uint8]:
    """Return the mean of each `by` x `by` pixels; a rest of the last row or column is left out."""
    rows, columns = (n // by * by for n in art.shape[:2])
    if by == 1 or not rows or not columns:
        return art
    blocks = art[:rows, :columns].reshape(rows // by, by, columns // by, by, 3)
    total = sum(blocks[:, i, :, j].astype(np.uint32) for i in range(by) for j in range(by))
    return np.asarray(total // (by * by), dtype=np.uint8)


def _lightness(art: NDArray[np.uint8]) -> Map:
    """Return CIE L* as 0..1 of sRGB pixels: equal steps look equal."""
    table = np.arange(256) / 255
    linear = np.where(table <= 0.04045, table / 12.92, ((table + 0.055) / 1.055) ** 2.4)
    luminance = linear[art] @ np.array([0.2126, 0.7152, 0.0722])
    bright: Map = np.where(
        luminance > (6 / 29) ** 3, 1.16 * np.cbrt(luminance) - 0.16, luminance * (29 / 3) ** 3 / 100
    )
    return bright


def _averaged(values: Map, cells: tuple[int, int]) -> Map:
    """Return the mean of `values` in each of `cells` (rows, columns) equal parts."""
    sums = np.pad(values.cumsum(0).cumsum(1), ((1, 0), (1, 0)))
    y, x = (np.linspace(0, n, c + 1).round().astype(int) for n, c in zip(values.shape, cells, strict=True))
    total = sums[np.ix_(y[1:], x[1:])] - sums[np.ix_(y[:-1], x[1:])]
    total -= sums[np.ix_(y[1:], x[:-1])] - sums[np.ix_(y[:-1], x[:-1])]
    mean: Map = total / np.maximum(np.diff(y)[:, None] * np.diff(x)[None, :], 1)
    return mean
