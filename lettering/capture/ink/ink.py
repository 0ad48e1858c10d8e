"""Ink from paper: how much of each pixel is covered, under uneven light.

Ink and paper mix in linear light, so the sRGB encoding is undone first; a half-covered pixel then reads
exactly 1/2. The paper's own level is modelled block by block; nothing of page size is kept but the file's
pixels and one mask, so that 100 megapixels stay within bounded memory.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lettering.capture.box import Box
from lettering.capture.ink.blocks import between_blocks
from lettering.capture.ink.ink_depth import TILE_PX, Tiles
from lettering.capture.ink.paper_light import PaperLight, followed_closely, has_hard_shadows, paper_light
from lettering.capture.ink.shadow_edges import with_sharp_edges
from lettering.capture.light import Picture, linear
from lettering.capture.page import PageImage
from lettering.errors import ReadingError

LEAST_CONTRAST = 0.2
"""Share of the paper's light that ink must take away: a soft pencil takes about half, a shadow a tenth."""
LEAST_LETTERED = 0.005
"""Share of a page that a few rows of letters cover; grain and glints cover less."""
FAR_MORE = 5.0
"""Light ink departs from its paper's light by so many times as much as the paper's dark grain does."""
STRIP_ROWS = 513
"""Rows looked at together, whole tiles, so that memory does not grow with the page."""
DARKEST_PAPER = 0.03
"""Linear reflectance below which there is no paper to be seen, as in a black picture."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ink:
    """A page with its paper and its ink told apart."""

    pixels: Picture
    """The picture as read: sRGB-encoded, grey or colour."""
    paper: PaperLight
    darkness: float
    """Share of the paper's light that full ink usually takes away, 0..1."""
    depth: NDArray[np.float32] | None = None
    """The same share near each tile of 3 px, where ink is uneven; shape (tile rows, tile columns)."""

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns of the page."""
        return self.pixels.shape[0], self.pixels.shape[1]

    def coverage(self, box: Box) -> NDArray[np.float32]:
        """Return the coverage in a box: about 0 on paper and 1 in full ink, straying by the noise."""
        ratio = linear(self.pixels[box.slices]) / self.paper.within(box)
        covered: NDArray[np.float32] = (1 - ratio) / self._full(box)
        return covered

    def _full(self, box: Box) -> NDArray[np.float32]:
        """Return the share of the light that full ink takes away, shape of the box or of one number."""
        if self.depth is None:
            return np.array(self.darkness, dtype=np.float32)
        return between_blocks(self.depth, TILE_PX, box)

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
            half = self.paper.within(strip) * (1 - self._full(strip) / np.float32(2))
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
        ink = _inked(page, followed_closely(paper, page.pixels, _stroke(ink.mask())))
        return _inked(page, with_sharp_edges(ink.paper, page.pixels, ink.mask()))
    return ink


def _inked(page: PageImage, paper: PaperLight) -> Ink:
    plain = Ink(pixels=page.pixels, paper=paper, darkness=1.0)
    tiles = Tiles(plain.coverage(strip) for strip in _strips(plain.shape))
    if tiles.usual < max(LEAST_CONTRAST, 4 * paper.relative_noise):
        if _has_light_marks(plain):
            raise ReadingError(
                "the lettering is lighter than its paper, and only dark ink is read",
                page.name,
                "Turn the scan into its negative, or letter with dark ink on light paper.",
            )
        raise ReadingError(
            "there is no ink on this page, or it is too pale to see",
            page.name,
            "Letter with a darker pen, or scan with more contrast.",
        )
    ink = replace(plain, darkness=tiles.usual)
    return ink if tiles.is_even else replace(ink, depth=tiles.depth(_stroke(ink.mask())))


def _has_light_marks(plain: Ink) -> bool:
    """Tell whether what is lighter than the paper stands out far more than what is darker.

    On rough paper, and in pictures of other things, both do alike.
    """
    some = np.concatenate([plain.coverage(strip)[::4, ::4].ravel() for strip in _strips(plain.shape)])
    light, middle, dark = np.quantile(some, (LEAST_LETTERED, 0.5, 1 - LEAST_LETTERED))
    return bool(middle - light > max(LEAST_CONTRAST, FAR_MORE * (dark - middle)))


def _stroke(mask: NDArray[np.bool_]) -> float:
    """Return about how wide strokes are, px: twice all ink over all boundary (Cauchy and Crofton)."""
    crossed = np.count_nonzero(mask[1:] != mask[:-1]) + np.count_nonzero(mask[:, 1:] != mask[:, :-1])
    return 2 * np.count_nonzero(mask) / max(np.pi / 4 * crossed, 1.0)


def _strips(shape: tuple[int, int]) -> Iterator[Box]:
    for top in range(0, shape[0], STRIP_ROWS):
        yield Box(top, 0, min(top + STRIP_ROWS, shape[0]), shape[1])
