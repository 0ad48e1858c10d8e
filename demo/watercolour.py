"""Turns a clean picture into paint on rough paper: edges wander, pigment settles, paper shows."""

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import gaussian_filter, map_coordinates

Picture = NDArray[np.float32]
"""Shape (h, w, 3), 0 to 1, encoded as in the file."""

COLOURS = 256
"""Colours of the finished file."""


def painted(clean: Picture, rng: Generator) -> Image.Image:
    """Return the picture in watercolour."""
    paint = _settled(_wandering(clean, rng), rng)
    paper = 1 + 0.010 * _cloud(clean.shape[:2], 2.2, rng) + 0.008 * _cloud(clean.shape[:2], 6, rng)
    values = np.clip(paint * paper[..., None], 0, 1)
    picture = Image.fromarray(np.rint(values * 255).astype(np.uint8))
    palette = picture.reduce(3).quantize(COLOURS, method=Image.Quantize.MEDIANCUT, kmeans=2)
    return picture.quantize(palette=palette, dither=Image.Dither.FLOYDSTEINBERG)


def _wandering(clean: Picture, rng: Generator) -> Picture:
    """Let every edge stray by up to a pixel or two, as wet paint does."""
    shape = clean.shape[:2]
    rows, columns = np.mgrid[: shape[0], : shape[1]].astype(np.float32)
    at = [rows + 0.9 * _cloud(shape, 26, rng), columns + 0.9 * _cloud(shape, 26, rng)]
    return np.stack([map_coordinates(clean[..., i], at, order=1, mode="nearest") for i in range(3)], axis=-1)


def _settled(paint: Picture, rng: Generator) -> Picture:
    """Let pigment gather along edges and in clouds; pale places stay clean."""
    depth = 1 - paint
    soft = gaussian_filter(depth, (3.5, 3.5, 0))
    gathered = depth + 0.20 * np.clip(depth - soft, -0.25, 0.25)
    cloud = 0.034 * _cloud(depth.shape[:2], 60, rng) + 0.012 * _cloud(depth.shape[:2], 20, rng)
    return np.asarray(1 - gathered * (1 + cloud[..., None]), dtype=np.float32)


def _cloud(shape: tuple[int, int], size: float, rng: Generator) -> NDArray[np.float32]:
    """Return smooth noise, sd about 1, that changes over `size` pixels."""
    # Noise on twice as fine a grid, then softened: a coarse grid alone would show its squares.
    small = gaussian_filter(
        rng.standard_normal([int(2 * side / size) + 9 for side in shape], dtype=np.float32), 1.3
    )
    large = Image.fromarray(small / small.std()).resize((shape[1], shape[0]), Image.Resampling.BICUBIC)
    return np.asarray(large, dtype=np.float32)
