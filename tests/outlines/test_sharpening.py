"""Sharpening told by letters, on scans whose mask is known: laid on light, on saved values, or not at all."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import ndimage

from lettering.outlines.mask import Mask
from lettering.outlines.sample import TONED, Sample
from lettering.outlines.sharpening import mask_of
from tests.outlines.scanned import Scanner, scans

PAPER, INK = 0.7, 0.06
"""Linear reflectance of paper and ink: neither is cut off when it is sharpened."""


def saved(coverage: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return sRGB values (IEC 61966-2-1; the curve's upper part, which holds for all but black)."""
    light = np.maximum(PAPER + (INK - PAPER) * coverage, 1e-6)
    return np.asarray(1.055 * light ** (1 / 2.4) - 0.055)


def covered(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the coverage that values stand for."""
    return np.asarray((((np.maximum(values, 0) + 0.055) / 1.055) ** 2.4 - PAPER) / (INK - PAPER))


def page(mask: Mask, noise: float = 0.01, blur: float = 0.7) -> list[Sample]:
    """Return letters that a scanner of little noise sharpened, by SciPy's Gaussian."""
    tone = saved(np.linspace(*TONED, 385))
    on_paper, in_ink = saved(np.array([0.0, 1.0]))
    letters = []
    for scan in scans("delius", Scanner(ppi=200, noise=noise, blur=(blur, blur)), "aen"):
        coverage = np.asarray(scan.coverage, dtype=np.float64)
        values = saved(coverage) if mask.encoded else coverage
        values = values + mask.share * (values - ndimage.gaussian_filter(values, mask.width, mode="nearest"))
        sharp = covered(values) if mask.encoded else values
        sample = Sample(
            coverage=sharp.astype(np.float32), noise=noise, tone=(on_paper - tone) / (on_paper - in_ink)
        )
        letters.append(sample)
    return letters


def swell(mask: Mask) -> float:
    """Return by how much a mask swells ripples of 4 px a wave: share and width trade off, this tells."""
    return mask.share * (1 - math.exp(-((mask.width * math.pi / 2) ** 2) / 2))


@pytest.mark.parametrize(
    ("share", "width", "encoded"), [(0.3, 1.2, True), (0.6, 1.5, True), (1.0, 0.7, True), (0.6, 2.0, False)]
)
def test_a_mask_is_told_and_what_it_was_laid_on(share: float, width: float, encoded: bool) -> None:
    """From a share of 0.3 to 1 and a width of 0.7 px to 2, on light or on saved values."""
    mask = Mask(share=share, width=width, encoded=encoded)

    found = mask_of(page(mask))

    assert found
    assert found.encoded is encoded
    assert swell(found) == pytest.approx(swell(mask), rel=0.15, abs=0.06)


@pytest.mark.parametrize(("noise", "blur"), [(0.004, 0.7), (0.03, 0.7), (0.002, 0.0), (0.01, 0.4)])
def test_no_mask_is_told_where_there_is_none(noise: float, blur: float) -> None:
    """A scan that nobody sharpened shows none, on either kind of values, however crisp it is."""
    assert mask_of(page(Mask(share=0.0, width=1.0), noise, blur)) is None


def test_a_page_without_letters_tells_of_no_mask() -> None:
    """No letters, or letters without ink, tell nothing."""
    blank = Sample(coverage=np.zeros((30, 20), dtype=np.float32), noise=0.03)

    assert mask_of([]) is mask_of([blank]) is None
