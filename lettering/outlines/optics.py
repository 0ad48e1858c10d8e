"""How a page was seen: blur, the sharpening that scanners and phones add, and the grain of the paper."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import fft

BLUR = 0.7
"""Usual blur of a scan, px, when the page does not tell."""

_Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Optics:
    """What stands between the ink and its picture."""

    blur: float = BLUR
    """Gaussian blur of a point, px, the pixel's own square left aside."""
    sharpening: float = 0.0
    """Share of what a Gaussian of `width` takes away that was added again: an unsharp mask."""
    width: float = 1.0
    """Standard deviation of the mask's Gaussian, px."""
    grain: float = 1.0
    """Power of the paper's noise at low frequency, as a multiple of what independent pixels would have."""

    unexplained: float = 0.0
    """What no outline explains of the pixels along an edge, sd of coverage; 0 where it is but noise.

    Crisp pages from a screen, and whatever else is not a Gaussian blur, are not to be followed closer.
    """

    @property
    def spread(self) -> float:
        """Standard deviation of an edge as the picture shows it, px: blur and the pixel's square."""
        return math.hypot(self.blur, 1 / math.sqrt(12))

    def unsharpened(self, picture: _Numbers) -> _Numbers:
        """Return the picture, shape (h, w), as it was before it was sharpened; round it lies paper of 0.

        In frequency an unsharp mask multiplies by 1 + share (1 - exp(-(width w)² / 2)), never by less
        than 1: its undoing is exact and adds no noise.
        """
        if not self.sharpening:
            return picture
        room = math.ceil(4 * self.width)
        shape = [fft.next_fast_len(n + room, real=True) for n in picture.shape]
        down, across = 2 * np.pi * fft.fftfreq(shape[0])[:, None], 2 * np.pi * fft.rfftfreq(shape[1])
        low = np.exp(-(self.width**2) * (down**2 + across**2) / 2)
        spectrum = fft.rfft2(picture, shape) / (1 + self.sharpening * (1 - low))
        return np.asarray(fft.irfft2(spectrum, shape)[: picture.shape[0], : picture.shape[1]])


USUAL = Optics()
"""A scan that adds nothing: what is reckoned with when the page is not known."""
