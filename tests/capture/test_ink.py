"""Ink and paper told apart, against exact coverage."""

import numpy as np
import pytest

from lettering.capture.box import Box
from lettering.capture.ink import find_ink
from lettering.capture.light import linear
from lettering.capture.page import PageImage
from tests.simulated_page import Scan, scanned


def half_plane() -> np.ndarray:
    """Return coverage of an inked stripe whose edges cover 30 % of a pixel column."""
    coverage = np.zeros((400, 500), dtype=np.float32)
    coverage[100:300, 200:230] = 1
    coverage[100:300, 230] = 0.3
    return coverage


@pytest.mark.parametrize("light_fall", [0.0, 0.4])
def test_coverage_is_read_in_linear_light(light_fall: float) -> None:
    """Full ink reads 1, bare paper 0 and a pixel covered by 30 % reads 0.3, whatever the light."""
    pixels = scanned(half_plane(), Scan(blur_px=0, grain=0, light_fall=light_fall))
    ink = find_ink(PageImage(name="page.png", pixels=pixels, ppi=None))
    read = ink.coverage(Box(150, 190, 250, 240)).mean(axis=0)

    assert read[:8] == pytest.approx(0, abs=0.02)
    assert read[12:38] == pytest.approx(1, abs=0.02)
    assert read[40] == pytest.approx(0.3, abs=0.02)


def test_the_grain_of_the_paper_is_measured() -> None:
    """The noise of coverage is the grain over the contrast of ink and paper (closed form)."""
    pixels = scanned(half_plane(), Scan(blur_px=0, grain=0.02, light_fall=0))
    ink = find_ink(PageImage(name="page.png", pixels=pixels, ppi=None))

    assert ink.noise_near(Box(20, 20, 60, 60)) == pytest.approx(0.02 / (0.83 - 0.03), rel=0.15)


def test_encoded_values_are_made_linear() -> None:
    """The middle grey 188 of sRGB is half the light (IEC 61966-2-1: 0.5 encodes to 187.5)."""
    assert linear(np.array([[0, 188, 255]], dtype=np.uint8))[0] == pytest.approx([0, 0.5029, 1], abs=1e-3)
