"""How light the bare paper is at every place of a page: uneven light and shadows, followed block by block."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import grey_closing, median_filter

from lettering.capture.box import Box
from lettering.capture.ink.blocks import between_blocks
from lettering.capture.light import Picture, linear

BLOCK_PX = 64
"""Side of the blocks on which the paper is measured: larger than a stroke, smaller than a soft shadow."""
STRIDE = 4
"""Every fourth pixel both ways is enough to know the paper by: 256 of a block."""
TILE_PX = 8
"""Side of the tiles that follow the edge of a hard shadow."""
STEEP = 1.2
"""Light that changes by more than this factor from block to block is a hard shadow's edge."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PaperLight:
    """The light of blank paper over a page."""

    level: NDArray[np.float32]
    """Linear light at the middle of each block, shape (block rows, block columns)."""
    block: int
    """Side of a block, px."""
    noise: NDArray[np.float32]
    """Standard deviation of the light on blank paper, for each block of 64 px."""

    def within(self, box: Box) -> NDArray[np.float32]:
        """Return the level at every pixel of a box, between the middles of the blocks."""
        return between_blocks(self.level, self.block, box)

    def noise_near(self, box: Box) -> float:
        """Return the relative noise round the middle of a box: a share of the paper's own light."""
        x, y = (box.left + box.right) // 2, (box.top + box.bottom) // 2
        row, column = min(y // BLOCK_PX, len(self.noise) - 1), min(x // BLOCK_PX, self.noise.shape[1] - 1)
        return float(self.noise[row, column] / self.level[self._block(y, 0), self._block(x, 1)])

    def _block(self, place: int, axis: int) -> int:
        return min(place // self.block, int(self.level.shape[axis]) - 1)

    @property
    def relative_noise(self) -> float:
        """The page's usual noise as a share of its usual light."""
        return float(np.median(self.noise) / np.median(self.level))


def paper_light(pixels: Picture) -> PaperLight:
    """Return the paper's light; where hard shadows lie it is followed closely."""
    level, noise = _block_levels(pixels)
    # Blocks wholly inside something black take the light of the page instead.
    level = np.maximum(level, np.median(level) / 3)
    return PaperLight(level=level, block=BLOCK_PX, noise=noise)


def has_hard_shadows(light: PaperLight) -> bool:
    """Tell whether the light jumps anywhere on the page."""
    tone = np.log(np.maximum(light.level, 1e-4))
    jumps = [np.abs(np.diff(tone, axis=axis)) > np.log(STEEP) for axis in (0, 1)]
    return sum(int(jump.sum()) for jump in jumps) > 3


def followed_closely(light: PaperLight, pixels: Picture, stroke: float) -> PaperLight:
    """Return the paper's light with its hard shadows, where no stroke is wider than `stroke` px.

    Strokes are closed over by the bright tiles on both their sides; an edge of light stays where it is.
    """
    tiles = np.concatenate([_bright_tiles(pixels, top) for top in range(0, pixels.shape[0], BLOCK_PX)])
    width = int(np.clip(np.ceil(1.6 * stroke / TILE_PX) + 2, 3, 15))
    level = median_filter(grey_closing(tiles, size=(width, width), mode="nearest"), size=3, mode="nearest")
    every = BLOCK_PX // TILE_PX
    coarse = level[every // 2 :: every, every // 2 :: every]
    both = light.level[: coarse.shape[0], : coarse.shape[1]]
    # The bright half of a tile is brighter than its paper by some of the grain.
    return PaperLight(
        level=np.asarray(level * np.median(both / coarse), dtype=np.float32), block=TILE_PX, noise=light.noise
    )


def _bright_tiles(pixels: Picture, top: int) -> NDArray[np.float32]:
    """Return the mean of the brighter half of each tile of a strip, shape (tile rows, tile columns)."""
    strip = linear(pixels[top : top + BLOCK_PX])
    short = (-strip.shape[0] % TILE_PX, -strip.shape[1] % TILE_PX)
    full = np.pad(strip, ((0, short[0]), (0, short[1])), mode="edge")
    rows, columns = full.shape[0] // TILE_PX, full.shape[1] // TILE_PX
    tiles = full.reshape(rows, TILE_PX, columns, TILE_PX).swapaxes(1, 2).reshape(rows, columns, -1)
    half = tiles.shape[-1] // 2
    return np.asarray(np.partition(tiles, half, axis=-1)[..., half:].mean(axis=-1))


def _block_levels(pixels: Picture) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Return the level of the paper and its standard deviation, for each block of 64 px."""
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
