"""Ink from paper: how much of each pixel is covered, under uneven light.

Ink and paper mix in linear light, so the sRGB encoding is undone first; a half-covered pixel then reads
exactly 1/2. The paper's own level is modelled block by block; nothing of page size is kept but the file's
pixels and one mask, so that 100 megapixels stay within bounded memory.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.light import Picture, linear
from lettering.capture.page import PageImage
from lettering.capture.paper_light import PaperLight, followed_closely, has_hard_shadows, paper_light
from lettering.errors import ReadingError

LEAST_CONTRAST = 0.2
"""Share of the paper's light that ink must take away: a soft pencil takes about half, a shadow a tenth."""
STRIP_ROWS = 512
"""Rows looked at together, so that memory does not grow with the page."""
DARKEST_PAPER = 0.03
"""Linear reflectance below which there is no paper to be seen, as in a black picture."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ink:
    """A page with its paper and its ink told apart."""

    pixels: Picture
    """The picture as read: sRGB-encoded, grey or colour."""
    paper: PaperLight
    darkness: float
    """Share of the paper's light that full ink takes away, 0..1."""

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of the page."""
        return self.pixels.shape[0], self.pixels.shape[1]

    def coverage(self, box: Box) -> NDArray[np.float32]:
        """Return the coverage in a box: about 0 on paper and 1 in full ink, straying by the noise."""
        ratio = linear(self.pixels[box.slices]) / self.paper.within(box)
        covered: NDArray[np.float32] = (1 - ratio) / np.float32(self.darkness)
        return covered

    def noise_near(self, box: Box) -> float:
        """Return the standard deviation of coverage on blank paper round the middle of a box."""
        return self.paper.noise_near(box) / self.darkness

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
            half = self.paper.within(strip) * np.float32(1 - self.darkness / 2)
            mask[strip.slices] = linear(self.pixels[strip.slices]) <= half
        return mask


def find_ink(page: PageImage) -> Ink:
    """Tell ink from paper; raises ReadingError when the page is black or carries no ink."""
    paper = paper_light(page.pixels)
    if paper.level.max() < DARKEST_PAPER:
        raise ReadingError(
            "the picture is black", page.name, "Scan the page again with the lettering facing the glass."
        )
    ink = _inked(page, paper)
    if has_hard_shadows(paper):
        return _inked(page, followed_closely(paper, page.pixels, _stroke(ink.mask())))
    return ink


def _inked(page: PageImage, paper: PaperLight) -> Ink:
    darkness = _darkness(Ink(pixels=page.pixels, paper=paper, darkness=1.0))
    if darkness < max(LEAST_CONTRAST, 4 * paper.relative_noise):
        raise ReadingError(
            "there is no ink on this page, or it is too pale to see",
            page.name,
            "Letter with a darker pen, or scan with more contrast.",
        )
    return Ink(pixels=page.pixels, paper=paper, darkness=darkness)


def _stroke(mask: NDArray[np.bool_]) -> float:
    """Return about how wide strokes are, px: twice all ink over all boundary (Cauchy and Crofton)."""
    crossed = np.count_nonzero(mask[1:] != mask[:-1]) + np.count_nonzero(mask[:, 1:] != mask[:, :-1])
    return 2 * np.count_nonzero(mask) / max(np.pi / 4 * crossed, 1.0)


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
    for top in range(0, shape[0], STRIP_ROWS):
        yield Box(top, 0, min(top + STRIP_ROWS, shape[0]), shape[1])
