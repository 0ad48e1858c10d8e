"""The unsharp mask that phones and scanners lay over a picture, and its undoing."""

import math
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy import fft

REACH = 5.0
"""Room left for a mask's Gaussian round a picture, in its standard deviations."""

Number = TypeVar("Number", np.float32, np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mask:
    """What sharpening added: a share of the difference between a picture and a Gaussian blur of it."""

    share: float
    """Share of the difference that was added, 0 for none."""
    width: float
    """Standard deviation of the Gaussian, px."""
    encoded: bool = False
    """Whether values were sharpened as they are saved (sRGB), as phones do; else linear light was."""

    def laid_on(self, picture: NDArray[Number]) -> NDArray[Number]:
        """Return the picture, shape (..., h, w), sharpened; round it lies what is 0."""
        return self._filtered(picture, 1)

    def undone(self, picture: NDArray[Number]) -> NDArray[Number]:
        """Return the picture, shape (..., h, w), as it was before it was sharpened; round it lies what is 0.

        In frequency a mask multiplies by 1 + share (1 - exp(-(width w)² / 2)), never by less than 1:
        its undoing is exact and adds no noise.
        """
        return self._filtered(picture, -1)

    def _filtered(self, picture: NDArray[Number], power: int) -> NDArray[Number]:
        if not self.share:
            return picture
        room = math.ceil(REACH * self.width)
        height, width = picture.shape[-2:]
        shape = [fft.next_fast_len(n + room, real=True) for n in (height, width)]
        down, across = (
            np.exp(-((self.width * 2 * np.pi * waves) ** 2) / 2)
            for waves in (fft.fftfreq(shape[0]), fft.rfftfreq(shape[1]))
        )
        gain = (1 + self.share * (1 - np.outer(down, across))) ** power
        spectrum = fft.rfft2(picture, shape) * gain.astype(picture.dtype)
        return np.asarray(fft.irfft2(spectrum, shape)[..., :height, :width], dtype=picture.dtype)
