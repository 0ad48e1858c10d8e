"""Published measures of how well ink was told from paper.

F-measure and PSNR are those of the first document image binarization contest (Gatos, Ntirogiannis and
Pratikakis, ICDAR 2009), the pseudo-F-measure that of its successor (Pratikakis, Gatos and Ntirogiannis,
H-DIBCO 2010). DRD is the distance reciprocal distortion of Lu, Kot and Shi (Distance-reciprocal distortion
measure for binary document images, IEEE Signal Processing Letters 11(2), 2004), as the contests use it. The
formulas are from memory.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import convolve
from skimage.morphology import skeletonize

Mask = NDArray[np.bool_]

REACH = 2
"""Pixels round a wrong one that are looked at: a window of 5 by 5."""
BLOCK = 8
"""Side of the blocks of which those count that hold both ink and paper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Binarised:
    """How near a mask of ink is to the true one."""

    f: float
    """F-measure, 0..100."""
    pseudo_f: float
    """F-measure whose recall is that of the true ink's skeleton, 0..100."""
    psnr: float
    """Peak signal to noise ratio, dB; infinite when all is right."""
    drd: float
    """Distance reciprocal distortion; 0 when all is right."""


def binarised(found: Mask, true: Mask) -> Binarised:
    """Return the four measures of a mask (h, w), True for ink, against the true one, which has some ink."""
    hit = int(np.count_nonzero(found & true))
    precision = hit / max(np.count_nonzero(found), 1)
    bones = skeletonize(true)
    wrong = np.mean(found != true)
    return Binarised(
        f=_harmonic(precision, hit / np.count_nonzero(true)),
        pseudo_f=_harmonic(precision, np.count_nonzero(found & bones) / np.count_nonzero(bones)),
        psnr=float(-10 * np.log10(wrong)) if wrong else float("inf"),
        drd=_drd(found, true),
    )


def _harmonic(precision: float, recall: float) -> float:
    return float(200 * precision * recall / max(precision + recall, 1e-12))


def _drd(found: Mask, true: Mask) -> float:
    """Return the sum over wrong pixels of how unlike their surroundings in the truth are, a block of both."""
    y, x = np.mgrid[-REACH : REACH + 1, -REACH : REACH + 1]
    away = np.hypot(x, y)
    weights = np.divide(1, away, out=np.zeros_like(away), where=away > 0)
    weights /= weights.sum()
    inked = convolve(true.astype(float), weights, mode="nearest")
    unlike = np.where(found, 1 - inked, inked)
    return float(unlike[found != true].sum() / max(_mixed_blocks(true), 1))


def _mixed_blocks(true: Mask) -> int:
    """Return how many blocks hold ink and paper."""
    high, wide = (side // BLOCK * BLOCK for side in true.shape)
    share = true[:high, :wide].reshape(high // BLOCK, BLOCK, wide // BLOCK, BLOCK).mean(axis=(1, 3))
    return int(np.count_nonzero((share > 0) & (share < 1)))
