"""The edges of hard shadows, followed within a pixel or two: smeared, they leave a grey line of false ink.

Tiles wide enough to be calm cannot follow an edge a few px wide. Fine ones can where paper is in sight. Under
ink the edge is hidden: the nearest paper is right where a stroke crosses it and strays where the two run side
by side, wide tiles stray a little everywhere, and the mean of both strays least.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_dilation, distance_transform_edt, maximum_filter, median_filter

from lettering.capture.box import Box
from lettering.capture.ink.blocks import between_blocks
from lettering.capture.ink.paper_light import TILE_PX, PaperLight
from lettering.capture.light import Picture, linear
from lettering.capture.strips import strips

FINE_PX = 2
"""Side of the tiles that follow an edge; ink's blur darkens the paper as far."""
ASTRAY = 0.06
"""Share of the light by which wide tiles are off where they cannot follow: more than paper strays."""


def with_sharp_edges(light: PaperLight, pixels: Picture, mask: NDArray[np.bool_]) -> PaperLight:
    """Return the paper's light, known by wide tiles, with the edges of its shadows by fine ones.

    `mask` tells which pixels are ink, shape of the page.
    """
    every = tuple(strips(len(pixels)))
    bright = median_filter(np.concatenate([_tiles(linear(pixels[s])).mean(axis=-1) for s in every]), size=3)
    hidden = binary_dilation(np.concatenate([_tiles(mask[s]).any(axis=-1) for s in every]))
    if hidden.all():
        return light
    down, across = distance_transform_edt(hidden, return_distances=False, return_indices=True)
    box = Box(0, 0, bright.shape[0], bright.shape[1])
    calm = between_blocks(light.level, light.block // FINE_PX, box)
    fine = median_filter(np.where(hidden, np.sqrt(bright[down, across] * calm), bright), size=3)
    # The brighter half of a wide tile is brighter than its paper by some of the grain.
    fine *= np.median(calm / fine)
    edge = maximum_filter(np.abs(fine - calm) > ASTRAY * calm, 2 * TILE_PX // FINE_PX + 1)
    level = np.asarray(np.where(edge, fine, calm), dtype=np.float32)
    return PaperLight(level=level, block=FINE_PX, noise=light.noise)


def _tiles(strip: NDArray[np.float32] | NDArray[np.bool_]) -> NDArray[np.float32]:
    """Return the pixels of each fine tile, shape (tile rows, tile columns, pixels of a tile)."""
    short = (-strip.shape[0] % FINE_PX, -strip.shape[1] % FINE_PX)
    full = np.pad(strip, ((0, short[0]), (0, short[1])), mode="edge").astype(np.float32)
    return np.stack([full[y::FINE_PX, x::FINE_PX] for y in range(FINE_PX) for x in range(FINE_PX)], axis=-1)
