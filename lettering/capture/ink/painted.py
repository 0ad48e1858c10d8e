"""A page lettered on a screen: its edges are mixed in the values that are saved, not in light.

Paper and ink mix in light, and a camera encodes what comes of it. A brush on a screen mixes the encoded
values themselves (common practice, no source), so that half covered is saved half way. Read as light, every
edge of such a page would lie nearly half a pixel too far in.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from lettering.capture.light import Picture, encoded
from lettering.capture.page import PageImage

MOST_BETWEEN = 1.8
"""Pixels that are neither paper nor ink, for each px of outline.

An edge touches 4/pi = 1.27 squares for each px of its length, corners some more. Behind a lens no edge is
so narrow, unless paper and ink are driven into the ends of the scale.
"""
EVEN = 0.1
"""How far from half way the middle one of those may be. What outlines cut is covered by half on average;
mixed in light and then encoded, the middle lies at a quarter of the way from paper to ink."""

BAND_ROWS = 512
"""Rows counted together, so that memory does not grow with the page."""


def as_photographed(page: PageImage) -> PageImage:
    """Return a page lettered on a screen as a camera would have saved it, in 16 bits; any other as it is."""
    if not _is_painted(_grey(page.pixels)):
        return page
    values = page.pixels.astype(np.float32) / np.float32(np.iinfo(page.pixels.dtype).max)
    return replace(page, pixels=encoded(values))


def _grey(pixels: Picture) -> Picture:
    """Return one channel: green is the one that every ink but green darkens."""
    return pixels if pixels.ndim == 2 else pixels[..., 1]


def _is_painted(grey: Picture) -> bool:
    """Tell whether paper and ink are of one value each, hardly a pixel apart, and mixed evenly there."""
    bands = range(0, len(grey), BAND_ROWS)
    all_counts = sum(np.bincount(grey[top : top + BAND_ROWS].ravel(), minlength=0x10000) for top in bands)
    values = np.flatnonzero(all_counts)
    counts = np.asarray(all_counts)[values]
    bright = values > (values[0] + values[-1]) / 2
    if len(values) <= 2:
        return False
    paper, ink = values[bright][counts[bright].argmax()], values[~bright][counts[~bright].argmax()]
    between = (values != paper) & (values != ink)
    passed = np.cumsum(counts[between])
    if passed[-1] > MOST_BETWEEN * _length(grey <= (paper + ink) / 2):
        return False
    middle = values[between][np.searchsorted(passed, passed[-1] / 2)]
    return bool(abs((paper - middle) / (paper - ink) - 0.5) < EVEN)


def _length(dark: NDArray[np.bool_]) -> float:
    """Return how long the outlines are, px: rows and columns cross them 4/pi times a px (Cauchy, Crofton)."""
    crossed = np.count_nonzero(dark[1:] != dark[:-1]) + np.count_nonzero(dark[:, 1:] != dark[:, :-1])
    return float(np.pi / 4 * crossed)
