"""Published measures of how well a page was made flat.

MS-SSIM (Wang, Simoncelli and Bovik, Multiscale structural similarity for image quality assessment, 2003) and
local distortion are measured as Ma et al. do (DocUNet: document image unwarping via a stacked U-Net, CVPR
2018): on pictures brought to an area of 598,400 px. Their local distortion is the mean length of a dense flow
that is itself estimated; here the truth is known in closed form, so the true displacement takes its place.
The formulas are from memory.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter
from skimage.transform import SimilarityTransform

Floats = NDArray[np.float64]

AREA_PX = 598_400
"""Area to which pages are brought before they are compared."""
WEIGHTS = (0.0448, 0.2856, 0.3001, 0.2363, 0.1333)
"""Exponents of the five scales, the finest first."""
SPREAD, TRUNCATE = 1.5, 3.5
"""The window: a Gaussian of 1.5 px, 11 px wide."""
K1, K2 = 0.01, 0.03
"""Constants that keep the ratios from dividing by nothing, shares of the range."""


@dataclass(frozen=True, slots=True)
class Displaced:
    """How far points of a flat page are from their places, px of a page of 598,400 px."""

    mean: float
    """Local distortion."""
    most: float


def displaced(found: Floats, true: Floats, size: tuple[float, float]) -> Displaced:
    """Return how far points `found` (n, 2) are from `true` ones (n, 2), a turn, a scale and a shift aside.

    `size` is the page's width and height in the unit of `true`.
    """
    fit = SimilarityTransform.from_estimate(found, true)
    off = np.hypot(*(fit(found) - true).T) * np.sqrt(AREA_PX / (size[0] * size[1]))
    return Displaced(float(off.mean()), float(off.max()))


def ms_ssim(one: Floats, other: Floats) -> float:
    """Return the multi-scale structural similarity of two grey pictures (h, w), 0..1, 1 for alike.

    The shorter side has at least 11 x 2⁴ px.
    """
    product = 1.0
    for scale, weight in enumerate(WEIGHTS):
        light, structure = ssim_parts(one, other)
        last = scale == len(WEIGHTS) - 1
        seen = float((light * structure if last else structure)[5:-5, 5:-5].mean())
        product *= max(seen, 0.0) ** weight
        one, other = _halved(one), _halved(other)
    return product


def ssim_parts(one: Floats, other: Floats) -> tuple[Floats, Floats]:
    """Return likeness of light, and of contrast and structure, at each pixel (Wang et al. 2004)."""

    def mean(values: Floats) -> Floats:
        return np.asarray(gaussian_filter(values, SPREAD, truncate=TRUNCATE))

    a, b = mean(one), mean(other)
    spread_a, spread_b = mean(one * one) - a * a, mean(other * other) - b * b
    both = mean(one * other) - a * b
    light = (2 * a * b + K1**2) / (a * a + b * b + K1**2)
    return light, (2 * both + K2**2) / (spread_a + spread_b + K2**2)


def _halved(values: Floats) -> Floats:
    high, wide = (side // 2 * 2 for side in values.shape)
    return np.asarray(values[:high, :wide].reshape(high // 2, 2, wide // 2, 2).mean(axis=(1, 3)))
