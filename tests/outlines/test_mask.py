"""Sharpening laid on and undone, against the same mask made by SciPy."""

import numpy as np
from scipy import ndimage

from lettering.outlines.mask import Mask
from tests.outlines.scanned import Scanner, scans


def test_an_unsharp_mask_is_scipys_and_is_undone_exactly() -> None:
    """What SciPy's Gaussian sharpened comes back as it was, within the tail the filter cuts off."""
    (scan,) = scans("schoolbell", Scanner(ppi=300), "a")
    before = np.pad(scan.coverage.astype(float), 12)
    sharpened = before + 0.7 * (before - ndimage.gaussian_filter(before, 1.3, mode="constant", truncate=6))
    mask = Mask(share=0.7, width=1.3)

    assert np.abs(mask.laid_on(before) - sharpened).max() < 2e-3
    assert np.abs(mask.undone(sharpened) - before).max() < 2e-3
    assert np.abs(sharpened - before).max() > 0.1


def test_a_mask_of_no_share_leaves_a_picture_alone() -> None:
    """Without a share the picture is the same to the bit."""
    picture = np.random.default_rng(1).random((9, 7))

    assert np.array_equal(Mask(share=0.0, width=1.0).undone(picture), picture)
