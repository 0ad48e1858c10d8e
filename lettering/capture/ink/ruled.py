"""Ruled and squared paper made blank: guide lines taken off, whatever their colour, under the ink too.

A ruled line is dark along most of a fifth of the page, which no letter is. Its share of the light is measured
there, colour by colour, along its own direction, where no ink lies on it, and every pixel is divided by it.
"""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates, maximum_filter1d, median_filter, percentile_filter

from lettering.capture.light import Picture, encoded, linear_table
from lettering.capture.page import PageImage
from lettering.capture.strips import strips

SAMPLES = 15
"""Blocks along a line that are compared …"""
LENGTH = 0.2
"""… on this share of the page: ink shorter than half of that is no ruled line."""
INKLESS = 85
"""Of those blocks so many in a hundred may be inked: a line is only as dark as the lightest of them."""
FEW = 5
"""Light changes little along a row: the paper is judged at every fifth block."""
LOOKS = 12
"""Columns of a block that are looked at."""
BETWEEN = 0.05
"""Paper between lines is judged by this share of the page: much more than a line is wide."""
FAINTEST = 0.03
"""Lines that take away less of the light than this do no harm."""
SPREAD = 0.002
"""How far from where it mostly is a line may run, share of the page: paper is not quite flat."""
EVERYWHERE = 0.85
"""A line runs over so much of the page at least; a row of letters has margins and spaces between words."""
DARKEST = 0.15
"""Light that a line must leave, or there is nothing to be seen through it."""
STEEPEST, STEP = 2.5, 0.05
"""Lines may run askew by as many degrees, and are known to such a step."""

Floats = NDArray[np.float32]


def unruled(page: PageImage) -> PageImage:
    """Return the page without its ruled lines, along and across, in 16 bits; the same when it has none."""
    level = _without_rows(page.pixels)
    turned = np.swapaxes(page.pixels if level is None else level, 0, 1)
    upright = _without_rows(turned)
    if upright is not None:
        return replace(page, pixels=np.ascontiguousarray(np.swapaxes(upright, 0, 1)))
    return page if level is None else replace(page, pixels=level)


def _without_rows(pixels: Picture) -> NDArray[np.uint16] | None:
    """Return a picture without its lines along the rows; none when it has no such lines."""
    height, width = pixels.shape[:2]
    block = max(2, round(width * LENGTH / SAMPLES))
    if width < 3 * block or height < 60:
        return None
    medians = [_block_medians(pixels, channel, block) for channel in range(_channels(pixels))]
    slope = _slope(medians[len(medians) // 2], block)
    shares = [_line_shares(_sheared(each, slope * block), height) for each in medians]
    if max(float((1 - share).max()) for share in shares) < FAINTEST:
        return None
    flat = np.empty(pixels.shape, dtype=np.uint16)
    table = linear_table(int(np.iinfo(pixels.dtype).max))
    x = np.arange(width, dtype=np.float32)
    for rows in strips(height):
        y = np.arange(rows.start, rows.stop, dtype=np.float32)
        down = y[:, None] - np.float32(slope) * (x + 0.5 - shares[0].shape[1] * block / 2)[None, :]
        across = np.broadcast_to((x + 0.5) / block - 0.5, down.shape)
        for (source, target), share in zip(_planes(pixels, flat, rows), shares, strict=True):
            kept = map_coordinates(share, [down, across], order=1, mode="nearest")
            target[:] = encoded(np.minimum(table[source] / kept, np.float32(1)))
    return flat


def _planes(
    pixels: Picture, flat: NDArray[np.uint16], rows: slice
) -> Iterator[tuple[Picture, NDArray[np.uint16]]]:
    """Yield each channel of a strip, as it is and as it shall be."""
    for channel in range(_channels(pixels)):
        place = (rows, slice(None), *((channel,) if pixels.ndim == 3 else ()))
        yield pixels[place], flat[place]


def _channels(pixels: Picture) -> int:
    return pixels.shape[2] if pixels.ndim == 3 else 1


def _block_medians(pixels: Picture, channel: int, block: int) -> Floats:
    """Return the light of each row of each block of columns, shape (rows, blocks)."""
    plane = pixels[..., channel] if pixels.ndim == 3 else pixels
    whole = plane[:, : plane.shape[1] // block * block].reshape(len(plane), -1, block)
    whole = whole[:, :, :: max(1, block // LOOKS)]
    table = linear_table(int(np.iinfo(pixels.dtype).max))
    return np.concatenate(
        [table[np.median(whole[rows], axis=2).astype(pixels.dtype)]
         for rows in strips(len(plane))]
    )  # fmt: skip


def _slope(light: Floats, block: int) -> float:
    """Return dy/dx of the lines: the shear at which the rows differ most from one another."""
    edges = np.abs(np.diff(np.minimum(light / max(float(np.median(light)), 1e-4), 1), axis=0))
    best = 0.0
    for reach, step in ((STEEPEST, STEP * 5), (STEP * 5, STEP)):
        turns = best + np.arange(-reach, reach + step / 2, step)
        turns = turns[np.argsort(np.abs(turns), kind="stable")]
        sheared = (_sheared(edges, float(np.tan(np.radians(turn))) * block) for turn in turns)
        sharp = [float((np.median(each, axis=1) ** 2).sum()) for each in sheared]
        best = float(turns[int(np.argmax(sharp))])
    return float(np.tan(np.radians(best)))


def _sheared(light: Floats, step: float) -> Floats:
    """Return columns moved up by `step` rows more from each to the next, about the middle one."""
    rows = np.arange(len(light))
    middle = (light.shape[1] - 1) / 2
    moved = [
        np.interp(rows + step * (j - middle), rows, column) for j, column in enumerate(light.T.astype(float))
    ]
    return np.asarray(np.stack(moved, axis=1), dtype=np.float32)


def _line_shares(light: Floats, height: int) -> Floats:
    """Return the share of the paper's light that lines leave, 1 where there is none, shape of `light`."""
    along = percentile_filter(light, INKLESS, size=(1, SAMPLES), mode="nearest")
    between = 2 * int(BETWEEN * height / 2) + 1
    paper = median_filter(along[:, ::FEW], size=(between, 1), mode="nearest")
    paper = np.repeat(paper, FEW, axis=1)[:, : light.shape[1]]
    share = np.clip(along / np.maximum(paper, 1e-4), DARKEST, 1)
    # Rows of letters are dark here and there; a ruled line is dark from edge to edge.
    ruled = np.quantile(light / np.maximum(paper, 1e-4), EVERYWHERE, axis=1) < 1 - FAINTEST
    near = maximum_filter1d(ruled, 2 * int(SPREAD * height) + 5)
    return np.asarray(np.where(near[:, None] & (share < 1 - FAINTEST / 4), share, 1), dtype=np.float32)
