"""Sharpening undone, against the same mask made by SciPy."""

import numpy as np
from scipy import ndimage

from lettering.outlines.optics import Optics
from tests.outlines.scanned import Scanner, scans


def test_an_unsharp_mask_is_undone_exactly() -> None:
    """What SciPy's Gaussian sharpened comes back as it was, within the tail the filter cuts off."""
    (scan,) = scans("schoolbell", Scanner(ppi=300), "a")
    before = np.pad(scan.coverage.astype(float), 12)
    sharpened = before + 0.7 * (before - ndimage.gaussian_filter(before, 1.3, mode="constant", truncate=6))

    after = Optics(sharpening=0.7, width=1.3).unsharpened(sharpened)

    assert np.abs(after - before).max() < 2e-3
    assert np.abs(sharpened - before).max() > 0.1


def test_a_picture_that_was_not_sharpened_is_left_alone() -> None:
    """Without a mask the picture is the same to the bit."""
    picture = np.random.default_rng(1).random((9, 7))

    assert np.array_equal(Optics().unsharpened(picture), picture)
