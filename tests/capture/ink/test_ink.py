"""Ink and paper told apart, against exact coverage."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from lettering.capture.box import Box
from lettering.capture.ink.ink import find_ink
from lettering.capture.light import linear
from lettering.capture.page import PageImage
from lettering.errors import ReadingError
from tests.capture.test_any_paper import BRUSH, PENCIL, lettered
from tests.capture.test_read import SHORT
from tests.simulated_page import Lettering, Scan, scanned, simulated_page, typeface
from tests.simulated_paper import BLUE_INK, KRAFT, SEPIA, Paper, Pen, lettered_on


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


PENS: dict[str, tuple[Pen, float]] = {
    "sepia": (Pen(ink=SEPIA), 0.025),
    "blue ink": (Pen(ink=BLUE_INK), 0.025),
    "marker with streaks": (Pen(dry=0.15), 0.05),
    "pencil, pale and grainy": (PENCIL, 0.08),
    "brush pen, pooled": (BRUSH, 0.07),
}
"""Each pen with the mean error of coverage that its edges may have."""


@pytest.mark.parametrize("pen", PENS)
def test_coverage_is_that_of_the_stroke_whatever_the_pen(pen: str) -> None:
    """Paper reads 0, the inside of strokes 1, edges the exact area they cover (FreeType's, then blurred)."""
    kind, most = PENS[pen]
    sim = lettered()
    ink = find_ink(lettered_on(sim, Paper(tooth=0.02), kind).page)
    covered = ink.coverage(Box(0, 0, *ink.shape))
    true = gaussian_filter(sim.coverage, 0.7)
    edge = (true > 0.05) & (true < 0.95)
    mask, far = ink.mask(), gaussian_filter(sim.coverage, 3) < 1e-4

    assert np.abs(covered - true)[edge].mean() < most
    assert covered[true < 0.01].mean() == pytest.approx(0, abs=0.01)
    assert covered[gaussian_filter(sim.coverage, 2) > 0.98].mean() == pytest.approx(1, abs=0.05)
    assert not mask[far].any()


def test_ink_that_pools_is_followed_where_it_is_pale() -> None:
    """Of a brush's strokes not half as much is lost as when all ink is held to be equally deep."""
    sim = lettered()
    ink = find_ink(lettered_on(sim, Paper(), BRUSH).page)
    inked = gaussian_filter(sim.coverage, 0.7) > 0.5
    lost, lost_flat = (np.mean(~each.mask()[inked]) for each in (ink, replace(ink, depth=None)))

    assert lost < 0.03
    assert lost < 0.5 * lost_flat


def test_an_even_ink_has_one_depth() -> None:
    """The ink of a pen, even if blurred, is not followed from place to place: there is nothing to follow."""
    page = simulated_page(
        typeface("patrick-hand"), SHORT, Lettering(x_height_mm=4), Scan(ppi=300, blur_px=1.5)
    )

    assert find_ink(lettered().page).depth is None
    assert find_ink(page.page).depth is None


@pytest.mark.parametrize("paper", [KRAFT, (0.05, 0.05, 0.05)], ids=["kraft", "black"])
def test_light_ink_on_dark_paper_is_refused_in_words(paper: tuple[float, float, float]) -> None:
    """A white pen's page is refused for what it is, not for being too pale."""
    page = lettered_on(lettered(), Paper(colour=paper), Pen(ink=(0.85, 0.85, 0.83))).page

    with pytest.raises(ReadingError, match="lighter than its paper, and only dark ink is read"):
        find_ink(page)
