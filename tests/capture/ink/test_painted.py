"""Pages lettered on a screen, saved as FreeType's exact coverage, and scans that look much like them."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from lettering.capture.ink.painted import as_photographed
from lettering.capture.light import linear
from lettering.capture.page import PageImage
from tests.simulated_page import Lettering, Scan, SimulatedPage, scanned, simulated_page, typeface

ROWS = ("Who left a cello in here?", "Nobody answered it.")


@cache
def drawn(name: str) -> SimulatedPage:
    """Return a page whose exact coverage is known."""
    return simulated_page(typeface(name), ROWS, Lettering(x_height_mm=4.0), Scan(ppi=300.0))


def saved(coverage: NDArray[np.float32], paper: float = 255, ink: float = 0) -> PageImage:
    """Return the page as a brush on a screen saves it: values mixed as they are."""
    values = np.rint(paper + (ink - paper) * coverage).astype(np.uint8)
    return PageImage(name="a.png", pixels=values, ppi=300.0)


@pytest.mark.parametrize("name", ["patrick-hand", "gochi-hand", "indie-flower"])
@pytest.mark.parametrize(("paper", "ink"), [(255, 0), (246, 38)])
def test_what_a_brush_covers_by_half_reads_as_half(name: str, paper: float, ink: float) -> None:
    """The light of the page is then paper and ink mixed by FreeType's own coverage, to a step of 8 bits."""
    sim = drawn(name)
    light = linear(as_photographed(saved(sim.coverage, paper, ink)).pixels)

    mixed = (paper + (ink - paper) * sim.coverage) / 255
    assert np.abs(light - mixed).max() < 0.6 / 255


def test_colours_are_mixed_each_for_itself() -> None:
    """A page lettered in blue on cream is read by its three channels."""
    sim = drawn("patrick-hand")
    channels = [saved(sim.coverage, paper, ink).pixels for paper, ink in ((255, 20), (250, 40), (235, 120))]
    page = replace(saved(sim.coverage), pixels=np.stack(channels, axis=-1))

    light = linear(as_photographed(page).pixels)
    whole = 0.2126 * channels[0] + 0.7152 * channels[1] + 0.0722 * channels[2]
    assert np.abs(light - whole / 255).max() < 1 / 255


@pytest.mark.parametrize("blur", [0.4, 0.7, 1.0])
@pytest.mark.parametrize("light", [(0.83, 0.03), (1.1, -0.05), (1.3, -0.3)])
def test_a_scan_is_left_as_it_is(blur: float, light: tuple[float, float]) -> None:
    """With grain, without it, and with paper and ink driven into the ends of the scale."""
    paper, ink = ((value, value, value) for value in light)
    for grain in (0.0, 0.02):
        pixels = scanned(
            drawn("patrick-hand").coverage,
            Scan(ppi=300.0, blur_px=blur, paper=paper, ink=ink, grain=grain, light_fall=0.0),
        )
        page = PageImage(name="a.png", pixels=pixels, ppi=300.0)

        assert as_photographed(page) is page


def test_black_and_white_alone_is_left_as_it_is() -> None:
    """A picture of two values has no edges to mix."""
    sim = drawn("patrick-hand")
    page = replace(saved(sim.coverage), pixels=np.where(sim.coverage > 0.5, 0, 255).astype(np.uint8))

    assert as_photographed(page) is page
