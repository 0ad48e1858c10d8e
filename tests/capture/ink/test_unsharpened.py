"""Pictures as they were before they were sharpened, against SciPy's Gaussian."""

from functools import partial

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import ndimage

from lettering.capture.ink.specimens import FEW, specimens
from lettering.capture.ink.unsharpened import BAND_ROWS, unsharpened
from lettering.capture.page import PageImage
from tests.simulated_page import Lettering, Scan, simulated_page, typeface


def halved(values: NDArray[np.float32], *, middle: float) -> NDArray[np.float32]:
    """Return the values with half of their distance from a middle."""
    return np.asarray(middle + (values - middle) / 2, dtype=np.float32)


@pytest.mark.parametrize(("in_light", "wanted"), [(False, 204), (True, 212)])
def test_it_is_done_to_light_or_to_the_values_that_are_saved(in_light: bool, wanted: int) -> None:
    """Half way from 153 to white is 204 as saved, and 212 in light (IEC 61966-2-1, by hand)."""
    page = PageImage(name="a.png", pixels=np.full((5, 7, 3), 153, dtype=np.uint8), ppi=300.0)

    clear = unsharpened(page, partial(halved, middle=1.0), in_light=in_light)

    assert clear.pixels.shape == (5, 7, 3)
    assert np.abs(clear.pixels / 257 - wanted).max() < 0.6


def test_bands_leave_no_seams_and_edges_go_on() -> None:
    """A Gaussian blur done in bands is the same as one of the whole picture whose edges are drawn on."""
    pixels = np.random.default_rng(2).integers(60, 200, (BAND_ROWS + 90, 40)).astype(np.uint8)
    page = PageImage(name="a.png", pixels=pixels, ppi=300.0)

    clear = unsharpened(page, partial(ndimage.gaussian_filter, sigma=2.0), in_light=False)

    whole = ndimage.gaussian_filter(pixels / 255, 2.0, mode="nearest")
    assert np.abs(clear.pixels / 65535 - whole).max() < 1e-4


def test_specimens_stand_alone_with_the_tone_of_their_paper() -> None:
    """Each shows ink of its own in the middle, bare paper round it, and a tone from paper to ink."""
    sim = simulated_page(typeface("delius"), ("sea hen", "more rain"), Lettering(), Scan(ppi=300))

    found = specimens(sim.page)

    assert len(found) == FEW
    for one in found:
        rim = np.concatenate([one.coverage[:6].ravel(), one.coverage[:, -6:].ravel()])
        assert np.abs(rim).max() < 8 * one.noise
        assert one.coverage.max() > 0.9
        assert (np.diff(one.tone) >= 0).all()
        assert np.interp([0, 1], np.linspace(-1, 2, len(one.tone)), one.tone) == pytest.approx(
            [0, 1], abs=1e-6
        )
