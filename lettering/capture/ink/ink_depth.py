"""How much light full ink takes away: everywhere alike, or deeper here and paler there.

A fine pen's ink is even. A pencil lies on the paper's tooth, a brush runs dry or pools: the edge of such a
stroke is where half of its own depth is reached, not half of the darkest ink on the page.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, minimum_filter

Floats = NDArray[np.float32]

TILE_PX = 3
"""Ink is judged by tiles of so many px both ways; a tile inside a stroke is dark all over."""
UNEVEN = 0.22
"""Ink whose depth in the middle of strokes spreads over more than this share of it (from the palest tenth to
the darkest) is uneven: even ink seen through a blur spreads over up to 0.17, pencil and brush over 0.3."""
FEWEST = 50
"""Fewer tiles in the middle of strokes tell nothing of that."""
NEAR = 0.6
"""Ink has the depth that it has within about so many strokes' widths."""


class Tiles:
    """The darkness of a page, tile by tile."""

    def __init__(self, strips: Iterator[Floats]) -> None:
        """Take the share of the paper's light that is taken away, strip by strip of whole tiles."""
        least, mean = zip(*(_tiles(strip) for strip in strips), strict=True)
        self.least, self.mean = np.concatenate(least), np.concatenate(mean)
        self.threshold = _parting(self.mean.ravel()) if self.mean.size and np.ptp(self.mean) >= 1e-3 else 0.0

    @property
    def usual(self) -> float:
        """Depth of the page's ink, from the inside of strokes; 0 without any."""
        if not self.threshold:
            return 0.0
        inside = self.mean[self.least >= self.threshold]
        return float(np.median(inside if inside.size else self.mean[self.mean >= self.threshold]))

    @property
    def is_even(self) -> bool:
        """Tell whether ink is equally deep wherever strokes are wide enough to see."""
        middle = self.mean[minimum_filter(self.mean, 3) >= self.threshold]
        if middle.size < FEWEST:
            return True
        palest, darkest = np.quantile(middle, (0.1, 0.9))
        return bool(darkest - palest < UNEVEN * self.usual)

    def depth(self, stroke: float) -> Floats:
        """Return how deep ink is near each tile, shape (tile rows, tile columns); the usual far from any.

        `stroke` is the usual width of a stroke, px.
        """
        inside = (self.least >= self.threshold).astype(np.float32)
        spread = NEAR * stroke / TILE_PX
        share = gaussian_filter(inside, spread)
        depth = gaussian_filter(inside * self.mean, spread) / np.maximum(share, 1e-6)
        return np.where(share > 1e-3, depth, np.float32(self.usual)).astype(np.float32)


def _tiles(dark: Floats) -> tuple[Floats, Floats]:
    """Return the least and the mean of each tile."""
    rows, columns = dark.shape[0] // TILE_PX * TILE_PX, dark.shape[1] // TILE_PX * TILE_PX
    down = [dark[k:rows:TILE_PX, :columns] for k in range(TILE_PX)]
    across = [slice(k, None, TILE_PX) for k in range(TILE_PX)]
    least, total = np.minimum.reduce(down), np.add.reduce(down)
    return (
        np.minimum.reduce([least[:, each] for each in across]),
        np.add.reduce([total[:, each] for each in across]) / np.float32(TILE_PX**2),
    )


def _parting(values: NDArray[np.float32]) -> float:
    """Return the value that best parts the dark from the light: most variance between both (Otsu 1979)."""
    counts, edges = np.histogram(values, 256)
    middles = (edges[1:] + edges[:-1]) / 2
    below, above = np.cumsum(counts)[:-1], np.cumsum(counts[::-1])[-2::-1]
    total = np.cumsum(counts * middles)
    apart = total[:-1] / np.maximum(below, 1) - (total[-1] - total[:-1]) / np.maximum(above, 1)
    return float(middles[np.argmax(below * above * apart**2)])
