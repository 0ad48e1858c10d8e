"""Letters drawn with a pencil on rough paper, and with a brush that runs dry."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from tests.outlines.papered import Papered
from tests.outlines.scanned import Scan

BLUR_PX, NOISE = 0.7, 6 / 210
"""Of the scanner that sees them."""

Coverage = NDArray[np.float32]


def pencilled(coverage: Coverage, random: np.random.Generator) -> Coverage:
    """Return strokes that the tooth of the paper breaks up, darker and lighter."""
    tooth = ndimage.gaussian_filter(random.normal(0, 1, coverage.shape), 0.8)
    share = np.clip(0.8 + 0.35 * tooth / tooth.std(), 0, 1.1)
    return np.asarray(coverage * share, dtype=np.float32)


def brushed(coverage: Coverage, random: np.random.Generator) -> Coverage:
    """Return strokes with streaks of bare paper in their lower right, where the brush has run dry."""
    streaks = ndimage.gaussian_filter(random.normal(0, 1, coverage.shape), (0.9, 9))
    height, width = coverage.shape
    y, x = np.mgrid[0:height, 0:width]
    dryness = np.clip((x / width + y / height - 1.0) * 2.5, -3, 1.6)
    bare = ndimage.gaussian_filter((streaks / streaks.std() < dryness - 1).astype(float), 0.5)
    return np.asarray(coverage * (1 - bare), dtype=np.float32)


def textured(some: list[Scan], texture: Callable[[Coverage, np.random.Generator], Coverage]) -> list[Papered]:
    """Return letters as a scanner sees them, drawn with some texture."""
    random, found = np.random.default_rng(1), []
    for scan in some:
        seen = ndimage.gaussian_filter(texture(scan.coverage, random), BLUR_PX)
        seen = (seen + random.normal(0, NOISE, seen.shape)).astype(np.float32)
        found.append(Papered(scan=replace(scan, coverage=seen), noise=NOISE))
    return found
