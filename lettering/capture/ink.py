"""Ink from paper: how much of each pixel is covered, under uneven light.

Ink and paper mix in linear light, so the sRGB encoding is undone first; a half-covered pixel then reads
exactly 1/2. The paper's own level is modelled block by block; nothing of page size is kept but the file's
pixels and one mask, so that 100 megapixels stay within bounded memory.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import median_filter

from lettering.capture.box import Box
from lettering.capture.light import Picture, linear
from lettering.capture.page import PageImage
from lettering.errors import ReadingError

BLOCK_PX = 64
"""Side of the blocks on which the paper is measured: larger than a stroke, smaller than a shadow."""
LEAST_CONTRAST = 0.2
"""Share of the paper's light that ink must take away: a soft pencil takes about half, a shadow a tenth."""
DARKEST_PAPER = 0.03
"""Linear reflectance below which there is no paper to be seen, as in a black picture."""
STRIDE = 4
"""Every fourth pixel both ways is enough to know the paper by: 256 of a block."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ink:
    """A page with its paper and its ink told apart."""

    pixels: Picture
    """The picture as read: sRGB-encoded, grey or colour."""
    paper: NDArray[np.float32]
    """Linear light of blank paper at the middle of each block, shape (block rows, block columns)."""
    noise: NDArray[np.float32]
    """Standard deviation of coverage on blank paper, for each block."""
    darkness: float
    """Share of the paper's light that full ink takes away, 0..1."""

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of the page."""
        return self.pixels.shape[0], self.pixels.shape[1]

    def coverage(self, box: Box) -> NDArray[np.float32]:
        """Return the coverage in a box: about 0 on paper and 1 in full ink, straying by the noise."""
        ratio = linear(self.pixels[box.slices]) / _spread(self.paper, box)
        covered: NDArray[np.float32] = (1 - ratio) / np.float32(self.darkness)
        return covered

    def noise_near(self, box: Box) -> float:
        """Return the standard deviation of coverage on blank paper round the middle of a box."""
        row = min((box.top + box.bottom) // 2 // BLOCK_PX, len(self.noise) - 1)
        column = min((box.left + box.right) // 2 // BLOCK_PX, self.noise.shape[1] - 1)
        return float(self.noise[row, column])

    def picture(self, box: Box) -> NDArray[np.uint8]:
        """Return the grey picture in a box as it looks, sRGB-encoded; past the page's edge it goes on."""
        rows = np.clip(np.arange(box.top, box.bottom), 0, self.shape[0] - 1)
        columns = np.clip(np.arange(box.left, box.right), 0, self.shape[1] - 1)
        crop = self.pixels[np.ix_(rows, columns)]
        grey = crop if crop.ndim == 2 else crop @ np.array([0.299, 0.587, 0.114])
        depth = 257 if crop.dtype == np.uint16 else 1
        return np.asarray(np.rint(grey / depth), dtype=np.uint8)

    def mask(self) -> NDArray[np.bool_]:
        """Return which pixels are covered by half or more, shape of the page."""
        mask = np.empty(self.shape, dtype=np.bool_)
        for strip in _strips(self.shape):
            half = _spread(self.paper * np.float32(1 - self.darkness / 2), strip)
            mask[strip.slices] = linear(self.pixels[strip.slices]) <= half
        return mask


def find_ink(page: PageImage) -> Ink:
    """Tell ink from paper; raises ReadingError when the page is black or carries no ink."""
    paper, spread = _paper(page.pixels)
    if paper.max() < DARKEST_PAPER:
        raise ReadingError(
            "the picture is black", page.name, "Scan the page again with the lettering facing the glass."
        )
    # Blocks wholly inside something black take the light of the page instead.
    paper = np.maximum(paper, np.median(paper) / 3)
    plain = Ink(pixels=page.pixels, paper=paper, noise=spread, darkness=1.0)
    darkness = _darkness(plain)
    if darkness < max(LEAST_CONTRAST, 4 * float(np.median(spread / paper))):
        raise ReadingError(
            "there is no ink on this page, or it is too pale to see",
            page.name,
            "Letter with a darker pen, or scan with more contrast.",
        )
    return Ink(pixels=page.pixels, paper=paper, noise=spread / paper / darkness, darkness=darkness)


def _paper(pixels: Picture) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Return the level of the paper and its standard deviation, for each block."""
    ranked = np.stack([_ranked_blocks(pixels, top) for top in range(0, pixels.shape[0], BLOCK_PX)])
    count = ranked.shape[-1]
    rough = median_filter(ranked[..., int(count * 0.8)], size=5, mode="nearest")
    # The paper is what is not much darker than its surroundings' bright part; its middle does not mind
    # the soft edges of ink, and its brighter half shows the grain alone.
    blank = np.maximum((ranked > 0.85 * rough[..., None]).sum(axis=-1), count // 20)
    share = (count - 0.5 - np.arange(count, dtype=np.float32)) / blank[..., None]
    level = ranked.mean(axis=-1, where=(share > 0.25) & (share < 0.75))
    away = np.square(ranked - level[..., None]).mean(axis=-1, where=share < 0.5)
    smooth = median_filter(level, size=3, mode="nearest")
    spread = median_filter(np.sqrt(np.maximum(away, 1e-8)), size=3, mode="nearest")
    return smooth, spread


def _ranked_blocks(pixels: Picture, top: int) -> NDArray[np.float32]:
    """Return the sorted light of each block of a strip, shape (block columns, pixels of a block)."""
    strip = linear(pixels[top : top + BLOCK_PX : STRIDE, ::STRIDE])
    side = BLOCK_PX // STRIDE
    short = (-strip.shape[0] % side, -strip.shape[1] % side)
    full = np.pad(
        strip, ((0, short[0]), (0, short[1])), mode="reflect" if min(strip.shape) > side else "edge"
    )
    blocks = full.reshape(side, -1, side).swapaxes(0, 1)
    return np.sort(blocks.reshape(len(blocks), -1), axis=-1)


def _darkness(plain: Ink) -> float:
    """Return the share of light that full ink takes away, from the inside of strokes."""
    tiles = [_tiles(plain.coverage(strip)) for strip in _strips(plain.shape)]
    least, mean = (np.concatenate([pair[side].ravel() for pair in tiles]) for side in (0, 1))
    if not mean.size or np.ptp(mean) < 1e-3:
        return 0.0
    threshold = _parting(mean)
    inside = mean[least >= threshold]
    if not inside.size:
        inside = mean[mean >= threshold]
    return float(np.median(inside))


def _tiles(dark: NDArray[np.float32]) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Return the least and the mean of each tile of 3 by 3 px; a tile inside a stroke is dark all over."""
    rows, columns = dark.shape[0] // 3 * 3, dark.shape[1] // 3 * 3
    down = [dark[k:rows:3, :columns] for k in range(3)]
    least, total = np.minimum(np.minimum(down[0], down[1]), down[2]), down[0] + down[1] + down[2]
    across = [slice(k, None, 3) for k in range(3)]
    return (
        np.minimum(np.minimum(least[:, across[0]], least[:, across[1]]), least[:, across[2]]),
        (total[:, across[0]] + total[:, across[1]] + total[:, across[2]]) / np.float32(9),
    )


def _parting(values: NDArray[np.float32]) -> float:
    """Return the value that best parts the dark from the light: most variance between both (Otsu 1979)."""
    counts, edges = np.histogram(values, 256)
    middles = (edges[1:] + edges[:-1]) / 2
    below, above = np.cumsum(counts)[:-1], np.cumsum(counts[::-1])[-2::-1]
    total = np.cumsum(counts * middles)
    apart = total[:-1] / np.maximum(below, 1) - (total[-1] - total[:-1]) / np.maximum(above, 1)
    return float(middles[np.argmax(below * above * apart**2)])


def _strips(shape: tuple[int, int]) -> Iterator[Box]:
    for top in range(0, shape[0], 8 * BLOCK_PX):
        yield Box(top, 0, min(top + 8 * BLOCK_PX, shape[0]), shape[1])


def _spread(grid: NDArray[np.float32], box: Box) -> NDArray[np.float32]:
    """Return the grid's values interpolated at every pixel of a box."""
    down = _between(np.arange(box.top, box.bottom), grid.shape[0])
    across = _between(np.arange(box.left, box.right), grid.shape[1])
    return np.asarray((down @ grid) @ across.T, dtype=np.float32)


def _between(at: NDArray[np.intp], count: int) -> NDArray[np.float32]:
    """Return the share of each block's middle in each pixel, shape (pixels, blocks): two to a pixel."""
    place = np.clip((at + 0.5) / BLOCK_PX - 0.5, 0, count - 1)
    away = np.abs(place[:, None] - np.arange(count))
    return np.asarray(np.maximum(1 - away, 0), dtype=np.float32)
