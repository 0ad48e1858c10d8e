"""Ruled and squared paper: lines taken off, letters on them unharmed."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from lettering.capture.ink.ruled import unruled
from lettering.capture.letter import LetteredPage
from lettering.capture.light import encoded, linear_table
from lettering.capture.page import PageImage, Reading
from lettering.capture.read import read_page
from tests.capture.test_read import SHORT, misplaced
from tests.simulated_page import Lettering, Scan, SimulatedPage, simulated_page, typeface

Colour = tuple[float, float, float]
BLUE, GRAPHITE = (0.45, 0.6, 0.85), (0.6, 0.6, 0.6)


@pytest.fixture(scope="module")
def plain() -> SimulatedPage:
    """A page on blank paper."""
    scan = Scan(ppi=300, paper=(0.83, 0.83, 0.82))
    return simulated_page(typeface("patrick-hand"), SHORT, Lettering(x_height_mm=5), scan)


@pytest.fixture(scope="module")
def blank(plain: SimulatedPage) -> LetteredPage:
    """What is read from the page on blank paper."""
    return read_page(plain.page, Reading(SHORT))


def printed(place: np.ndarray, pitch: int) -> np.ndarray:
    """Return how much of a pixel lines 3 px wide cover."""
    away = np.abs((place + pitch / 2) % pitch - pitch / 2)
    return np.asarray(np.clip(2 - away, 0, 1), dtype=np.float32)


def ruled(
    page: PageImage, colour: Colour, pitch: int, *, squared: bool = False, askew: float = 0.0
) -> PageImage:
    """Return a page on paper with lines 3 px wide, `pitch` px apart, that leave `colour` of the light."""
    down, across = (np.asarray(axis, dtype=float) for axis in np.indices(page.pixels.shape[:2]))
    share = printed(down - askew * across, pitch)
    if squared:
        share = np.maximum(share, printed(across, pitch))
    share = gaussian_filter(share, 0.8)[..., None] * (1 - np.array(colour, np.float32))
    light = linear_table(255)[page.pixels] * (1 - share)
    return replace(page, pixels=(encoded(light.astype(np.float32)) >> 8).astype(np.uint8))


def test_blank_paper_is_left_alone(plain: SimulatedPage) -> None:
    """A page without lines is the same page, though its rows of letters are dark from word to word."""
    assert unruled(plain.page) is plain.page


@pytest.mark.parametrize(
    ("colour", "pitch", "squared", "askew"),
    [(BLUE, 50, False, 0.0), (GRAPHITE, 120, False, 0.012), (GRAPHITE, 59, True, 0.0)],
    ids=["blue lines", "graphite askew", "grey squares"],
)
def test_letters_on_ruled_paper_are_as_on_blank_paper(
    plain: SimulatedPage, blank: LetteredPage, colour: Colour, pitch: int, squared: bool, askew: float
) -> None:
    """Every letter is read, and where lines cross strokes the ink's coverage is that of blank paper."""
    page = read_page(ruled(plain.page, colour, pitch, squared=squared, askew=askew), Reading(SHORT))

    assert misplaced(page, plain) == []
    assert len(page.letters) == len(plain.letters)
    off = np.concatenate(
        [
            np.abs(a.coverage - b.coverage).ravel()
            for a, b in zip(page.letters, blank.letters, strict=True)
            if a.coverage.shape == b.coverage.shape
        ]
    )
    assert np.quantile(off, 0.99) < 0.06
    assert (off > 0.3).mean() < 0.001


def test_a_dash_across_half_the_row_is_no_ruled_line(plain: SimulatedPage) -> None:
    """A long stroke of the pen between margins stays."""
    pixels = plain.page.pixels.copy()
    width = pixels.shape[1]
    pixels[60:66, width // 4 : 3 * width // 4] = 40

    assert unruled(replace(plain.page, pixels=pixels)).pixels[63, width // 2].max() < 60
