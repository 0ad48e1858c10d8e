"""Drawing paper under a scanner's lamp, and how ink looks on it."""

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import gaussian_filter

Grey = NDArray[np.float32]
"""Shape (h, w), linear light."""

PAPER, INK = 0.80, 0.032
"""Share of the light that bare paper and full ink send back."""


def scanned(coverage: Grey, rng: Generator) -> NDArray[np.uint8]:
    """Return the grey picture (8-bit sRGB values) of ink `coverage` on textured paper.

    Light adds up linearly, so ink and paper are mixed before the values are encoded (IEC 61966-2-1).
    """
    shape = coverage.shape
    ink = INK + 0.007 * _cloud(shape, 40, rng) + 0.003 * _cloud(shape, 8, rng)
    seen = gaussian_filter(coverage, 0.65)
    seen *= np.clip(0.985 + 0.012 * _cloud(shape, 12, rng), 0.92, 1.0)
    linear = PAPER * _grain(shape, rng) * (1 - seen) + np.clip(ink, 0.012, 0.07) * seen
    return encoded(linear * _lamp(shape))


def encoded(linear: Grey) -> NDArray[np.uint8]:
    """Return linear light 0 to 1 as 8-bit sRGB values."""
    light = np.clip(linear, 0, 1)
    curve = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.rint(curve * 255).astype(np.uint8)


def _grain(shape: tuple[int, int], rng: Generator) -> Grey:
    """Return the paper's tooth: fine felt marks and slow clouds, about 1."""
    fine = gaussian_filter(rng.standard_normal(shape, dtype=np.float32), 1.1)
    return 1 + 0.011 * 3.9 * fine + 0.009 * _cloud(shape, 5, rng) + 0.006 * _cloud(shape, 60, rng)


def _cloud(shape: tuple[int, int], size: float, rng: Generator) -> Grey:
    """Return smooth noise, sd about 1, that changes over `size` pixels."""
    height, width = shape
    small = rng.standard_normal([int(side / size) + 3 for side in shape], dtype=np.float32)
    large = Image.fromarray(small).resize((width, height), Image.Resampling.BICUBIC)
    return np.asarray(large, dtype=np.float32) * np.float32(1.25)


def _lamp(shape: tuple[int, int]) -> Grey:
    """Return the lamp's light, a little weaker toward the lower right and the edges."""
    down, across = np.linspace(-1, 1, shape[0])[:, None], np.linspace(-1, 1, shape[1])[None, :]
    return (1 - 0.025 * (down + 1) / 2 - 0.03 * (across + 1) / 2 - 0.012 * (down**2 + across**2)).astype(
        np.float32
    )
